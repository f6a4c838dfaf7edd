package org.elasto.tracking.correlation;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of windowed normalised cross-correlation.
 *
 * @param windowLength depth of the rectangular window (m)
 * @param rowSpacing depth between rows of the field (m), rounded to whole baseband samples
 * @param searchRange greatest displacement, either way, that is looked for (m)
 * @param bandwidth band of the echo that is used, as a share of the centre frequency
 * @param stretching how many times the second window is stretched by the strain found so far; 0 for
 *     windows that are only shifted
 * @param peak how the peak is found between samples
 * @param minimumCorrelation correlation below which nothing is claimed to be known
 */
public record CrossCorrelationConfig(
        @Parameter(meaning = "depth of the rectangular window", unit = "m", min = 2e-4, max = 2e-2)
                double windowLength,
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
        @Parameter(
                        meaning = "times the second window is stretched by the strain found so far",
                        min = 0,
                        max = 10)
                int stretching,
        @Parameter(meaning = "how the peak is found between samples") Peak peak,
        @Parameter(
                        meaning = "correlation below which nothing is claimed to be known",
                        min = 0.05,
                        max = 0.99)
                double minimumCorrelation) {

    /** The defaults. */
    public static final CrossCorrelationConfig DEFAULTS =
            new CrossCorrelationConfig(1.9e-3, 2e-4, 1.5e-3, 0.8, 1, Peak.SPLINE, 0.5);

    public CrossCorrelationConfig {
        ConfigSchema.check(
                CrossCorrelationConfig.class,
                windowLength,
                rowSpacing,
                searchRange,
                bandwidth,
                stretching,
                peak,
                minimumCorrelation);
    }
}
