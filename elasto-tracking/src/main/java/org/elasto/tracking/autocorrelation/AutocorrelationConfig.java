package org.elasto.tracking.autocorrelation;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of the two autocorrelation estimators. Windows are rectangular.
 *
 * @param windowLength depth of the window (m), rounded to an odd number of baseband samples
 * @param windowWidth width of the window across the lines (m), rounded to an odd number of lines; 0
 *     for each line by itself
 * @param rowSpacing depth between rows of the field (m), rounded to whole baseband samples
 * @param bandwidth band of the echo that is used, as a share of the centre frequency
 * @param minimumCorrelation correlation below which nothing is claimed to be known
 */
public record AutocorrelationConfig(
        @Parameter(meaning = "depth of the window", unit = "m", min = 2e-4, max = 2e-2)
                double windowLength,
        @Parameter(
                        meaning = "width of the window across the lines",
                        unit = "m",
                        min = 0,
                        max = 2e-2)
                double windowWidth,
        @Parameter(meaning = "depth between rows of the field", unit = "m", min = 1e-5, max = 5e-3)
                double rowSpacing,
        @Parameter(
                        meaning =
                                "band of the echo that is used, as a share of the centre frequency",
                        min = 0.1,
                        max = 1.6)
                double bandwidth,
        @Parameter(
                        meaning = "correlation below which nothing is claimed to be known",
                        min = 0.05,
                        max = 0.99)
                double minimumCorrelation) {

    /** The defaults. */
    public static final AutocorrelationConfig DEFAULTS =
            new AutocorrelationConfig(1.9e-3, 9e-4, 1.5e-4, 0.8, 0.7);

    public AutocorrelationConfig {
        ConfigSchema.check(
                AutocorrelationConfig.class,
                windowLength,
                windowWidth,
                rowSpacing,
                bandwidth,
                minimumCorrelation);
    }
}
