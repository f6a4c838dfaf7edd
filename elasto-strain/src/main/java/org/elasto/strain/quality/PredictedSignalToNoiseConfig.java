package org.elasto.strain.quality;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link PredictedSignalToNoiseProvider}. Immutable and thread-safe.
 *
 * @param ratioOfHalf signal-to-noise ratio that scores one half, 0.1 to 100
 */
public record PredictedSignalToNoiseConfig(
        @Parameter(meaning = "signal-to-noise ratio that scores one half", min = 0.1, max = 100)
                double ratioOfHalf) {

    /** Every parameter at its default. */
    public static final PredictedSignalToNoiseConfig DEFAULTS = new PredictedSignalToNoiseConfig(5);

    public PredictedSignalToNoiseConfig {
        ConfigSchema.check(PredictedSignalToNoiseConfig.class, ratioOfHalf);
    }
}
