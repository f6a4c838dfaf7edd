package org.elasto.tracking.seedgrowth;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of the seed-growth estimator. Window sizes are equivalent lengths: those of a
 * rectangular window that averages as much; a Gaussian's standard deviation is 0.282 of it.
 *
 * @param windowLength equivalent depth of the window of the final refinement (m)
 * @param windowWidth its equivalent width across the lines (m)
 * @param matchLength depth of the window that is matched while growing (m)
 * @param matchWidth its width across the lines (m)
 * @param rowSpacing depth between rows of the field (m), rounded to whole baseband samples
 * @param searchRange greatest axial displacement, either way, of seeds (m)
 * @param lateralSearchRange greatest lateral displacement, either way (m)
 * @param growthCorrelation correlation from which a cell is grown from
 * @param bandwidth band of the echo that is used, as a share of the centre frequency
 * @param steps steps of the final refinement
 * @param minimumCorrelation correlation below which nothing is claimed to be known
 */
public record SeedGrowthConfig(
        @Parameter(
                        meaning = "equivalent depth of the window of the final refinement",
                        unit = "m",
                        min = 2e-4,
                        max = 2e-2)
                double windowLength,
        @Parameter(
                        meaning = "its equivalent width across the lines",
                        unit = "m",
                        min = 0,
                        max = 2e-2)
                double windowWidth,
        @Parameter(
                        meaning = "depth of the window that is matched while growing",
                        unit = "m",
                        min = 2e-4,
                        max = 2e-2)
                double matchLength,
        @Parameter(meaning = "its width across the lines", unit = "m", min = 0, max = 2e-2)
                double matchWidth,
        @Parameter(meaning = "depth between rows of the field", unit = "m", min = 1e-5, max = 5e-3)
                double rowSpacing,
        @Parameter(
                        meaning = "greatest axial displacement, either way, of seeds",
                        unit = "m",
                        min = 1e-5,
                        max = 1e-2)
                double searchRange,
        @Parameter(
                        meaning = "greatest lateral displacement, either way",
                        unit = "m",
                        min = 0,
                        max = 1e-2)
                double lateralSearchRange,
        @Parameter(meaning = "correlation from which a cell is grown from", min = 0.1, max = 0.999)
                double growthCorrelation,
        @Parameter(
                        meaning =
                                "band of the echo that is used, as a share of the centre frequency",
                        min = 0.1,
                        max = 1.6)
                double bandwidth,
        @Parameter(meaning = "steps of the final refinement", min = 1, max = 20) int steps,
        @Parameter(
                        meaning = "correlation below which nothing is claimed to be known",
                        min = 0.05,
                        max = 0.99)
                double minimumCorrelation) {

    /** The defaults. */
    public static final SeedGrowthConfig DEFAULTS =
            new SeedGrowthConfig(
                    2.1e-3, 1.2e-3, 1.3e-3, 1.2e-3, 1.5e-4, 1.5e-3, 0.9e-3, 0.75, 0.8, 3, 0.5);

    public SeedGrowthConfig {
        ConfigSchema.check(
                SeedGrowthConfig.class,
                windowLength,
                windowWidth,
                matchLength,
                matchWidth,
                rowSpacing,
                searchRange,
                lateralSearchRange,
                growthCorrelation,
                bandwidth,
                steps,
                minimumCorrelation);
    }
}
