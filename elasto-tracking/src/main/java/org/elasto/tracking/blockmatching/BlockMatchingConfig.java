package org.elasto.tracking.blockmatching;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of two-dimensional block matching.
 *
 * @param windowLength depth of the block (m), rounded to an odd number of baseband samples
 * @param windowWidth width of the block across the lines (m), rounded to an odd number of lines
 * @param rowSpacing depth between rows of the field (m), rounded to whole baseband samples
 * @param searchRange greatest axial displacement, either way, that is looked for (m)
 * @param lateralRange greatest lateral displacement, either way, that is looked for (m), rounded up
 *     to whole lines
 * @param bandwidth band of the echo that is used, as a share of the centre frequency
 * @param steps refining steps
 * @param minimumCorrelation correlation below which nothing is claimed to be known
 */
public record BlockMatchingConfig(
        @Parameter(meaning = "depth of the block", unit = "m", min = 2e-4, max = 2e-2)
                double windowLength,
        @Parameter(meaning = "width of the block across the lines", unit = "m", min = 0, max = 2e-2)
                double windowWidth,
        @Parameter(meaning = "depth between rows of the field", unit = "m", min = 1e-5, max = 5e-3)
                double rowSpacing,
        @Parameter(
                        meaning = "greatest axial displacement, either way, that is looked for",
                        unit = "m",
                        min = 1e-5,
                        max = 1e-2)
                double searchRange,
        @Parameter(
                        meaning = "greatest lateral displacement, either way, that is looked for",
                        unit = "m",
                        min = 0,
                        max = 5e-3)
                double lateralRange,
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
    public static final BlockMatchingConfig DEFAULTS =
            new BlockMatchingConfig(1.9e-3, 1.5e-3, 1.5e-4, 1.5e-3, 9e-4, 0.8, 3, 0.5);

    public BlockMatchingConfig {
        ConfigSchema.check(
                BlockMatchingConfig.class,
                windowLength,
                windowWidth,
                rowSpacing,
                searchRange,
                lateralRange,
                bandwidth,
                steps,
                minimumCorrelation);
    }
}
