package org.elasto.conformance;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link PlainPhaseProvider}.
 *
 * @param windowLength depth of the rectangular window (m)
 * @param sideLines lines on either side of the window's middle one
 * @param searchRange greatest displacement that is looked for (m)
 */
public record PlainPhaseConfig(
        @Parameter(meaning = "depth of the rectangular window", unit = "m", min = 3e-4, max = 1e-2)
                double windowLength,
        @Parameter(meaning = "lines on either side of the middle one", min = 0, max = 20)
                int sideLines,
        @Parameter(
                        meaning = "greatest displacement that is looked for",
                        unit = "m",
                        min = 1e-5,
                        max = 5e-3)
                double searchRange) {

    public PlainPhaseConfig {
        ConfigSchema.check(PlainPhaseConfig.class, windowLength, sideLines, searchRange);
    }
}
