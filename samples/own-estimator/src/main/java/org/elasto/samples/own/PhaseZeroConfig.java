package org.elasto.samples.own;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link PhaseZeroProvider}. Immutable and thread-safe.
 *
 * @param windowLength depth of the window that is matched (m), 0.3 mm to 10 mm
 * @param searchRange greatest displacement that is looked for, either way (m), 10 um to 3 mm
 */
public record PhaseZeroConfig(
        @Parameter(
                        meaning = "depth of the window that is matched",
                        unit = "m",
                        min = 3e-4,
                        max = 1e-2)
                double windowLength,
        @Parameter(
                        meaning = "greatest displacement that is looked for",
                        unit = "m",
                        min = 1e-5,
                        max = 3e-3)
                double searchRange) {

    public PhaseZeroConfig {
        ConfigSchema.check(PhaseZeroConfig.class, windowLength, searchRange);
    }
}
