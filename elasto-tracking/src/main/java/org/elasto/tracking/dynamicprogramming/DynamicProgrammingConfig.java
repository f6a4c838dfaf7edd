package org.elasto.tracking.dynamicprogramming;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of the dynamic-programming estimator.
 *
 * @param smoothingLength length l (m) of the smoothness of axial displacement along the line: a
 *     wave of displacement of angular frequency w along the depth comes through as 1 / (1 + (l
 *     w)&#8308;); averages as much as a rectangular window of 3.77 times that depth
 * @param lateralSmoothingLength the same for lateral displacement (m)
 * @param windowWidth equivalent width of the window across the lines (m)
 * @param rowSpacing depth between rows of the field (m), rounded to whole baseband samples
 * @param searchRange greatest axial displacement, either way, that is looked for (m)
 * @param lateralSearchRange greatest lateral displacement, either way, that is looked for (m)
 * @param expectedGradient displacement over distance that is common; larger changes cost more
 * @param jumpPrice price that no change of displacement exceeds, in units of log-likelihood
 * @param bandwidth band of the echo that is used, as a share of the centre frequency
 * @param steps refining steps
 * @param minimumCorrelation correlation below which nothing is claimed to be known
 */
public record DynamicProgrammingConfig(
        @Parameter(
                        meaning = "smoothness of axial displacement along the line",
                        unit = "m",
                        min = 1e-4,
                        max = 5e-3)
                double smoothingLength,
        @Parameter(
                        meaning = "smoothness of lateral displacement along the line",
                        unit = "m",
                        min = 1e-4,
                        max = 1e-2)
                double lateralSmoothingLength,
        @Parameter(
                        meaning = "equivalent width of the window across the lines",
                        unit = "m",
                        min = 0,
                        max = 2e-2)
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
                        max = 1e-2)
                double lateralSearchRange,
        @Parameter(meaning = "displacement over distance that is common", min = 1e-3, max = 1)
                double expectedGradient,
        @Parameter(
                        meaning = "log-likelihood that no change of displacement costs more than",
                        min = 0.1,
                        max = 1000)
                double jumpPrice,
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
    public static final DynamicProgrammingConfig DEFAULTS =
            new DynamicProgrammingConfig(
                    0.56e-3, 1.5e-3, 1.2e-3, 1.5e-4, 1.5e-3, 0.9e-3, 0.1, 24, 0.8, 3, 0.72);

    public DynamicProgrammingConfig {
        ConfigSchema.check(
                DynamicProgrammingConfig.class,
                smoothingLength,
                lateralSmoothingLength,
                windowWidth,
                rowSpacing,
                searchRange,
                lateralSearchRange,
                expectedGradient,
                jumpPrice,
                bandwidth,
                steps,
                minimumCorrelation);
    }
}
