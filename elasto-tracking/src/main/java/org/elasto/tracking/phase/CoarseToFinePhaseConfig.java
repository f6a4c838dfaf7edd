package org.elasto.tracking.phase;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of the coarse-to-fine phase estimator. Window sizes are equivalent lengths: those of a
 * rectangular window that averages as much; a Gaussian's standard deviation is 0.282 of it.
 *
 * @param windowLength equivalent depth of the window (m)
 * @param windowWidth equivalent width of the window across the lines (m)
 * @param rowSpacing depth between rows of the field (m), rounded to whole baseband samples
 * @param searchRange greatest displacement, either way, that is looked for (m)
 * @param bandwidth band of the echo that is used, as a share of the centre frequency
 * @param steps refining steps
 * @param minimumCorrelation correlation below which nothing is claimed to be known
 */
public record CoarseToFinePhaseConfig(
        @Parameter(meaning = "equivalent depth of the window", unit = "m", min = 2e-4, max = 2e-2)
                double windowLength,
        @Parameter(
                        meaning = "equivalent width of the window across the lines",
                        unit = "m",
                        min = 0,
                        max = 2e-2)
                double windowWidth,
        @Parameter(meaning = "depth between rows of the field", unit = "m", min = 1e-5, max = 5e-3)
                double rowSpacing,
        @Parameter(
                        meaning = "greatest displacement, either way, that is looked for",
                        unit = "m",
                        min = 1e-5,
                        max = 1e-2)
                double searchRange,
        @Parameter(
                        meaning =
                                "band of the echo that is used, as a share of the centre frequency",
                        min = 0.1,
                        max = 1.6)
                double bandwidth,
        @Parameter(meaning = "refining steps", min = 1, max = 20) int steps,
        @Parameter(
                        meaning = "correlation below which nothing is claimed to be known",
                        min = 0.05,
                        max = 0.99)
                double minimumCorrelation) {

    /** The defaults. */
    public static final CoarseToFinePhaseConfig DEFAULTS =
            new CoarseToFinePhaseConfig(2.1e-3, 1.2e-3, 1.5e-4, 1.5e-3, 0.8, 3, 0.5);

    public CoarseToFinePhaseConfig {
        ConfigSchema.check(
                CoarseToFinePhaseConfig.class,
                windowLength,
                windowWidth,
                rowSpacing,
                searchRange,
                bandwidth,
                steps,
                minimumCorrelation);
    }
}
