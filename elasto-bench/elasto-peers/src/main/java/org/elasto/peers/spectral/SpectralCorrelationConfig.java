package org.elasto.peers.spectral;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;
import org.elasto.peers.EchoInput;

/**
 * Parameters of {@link SpectralCorrelationProvider}. Immutable and thread-safe.
 *
 * @param input what of the echoes is correlated
 * @param windowSamples length of a window (samples), rounded up to a power of two
 * @param rowSamples samples from window to window
 */
public record SpectralCorrelationConfig(
        @Parameter(meaning = "what of the echoes is correlated") EchoInput input,
        @Parameter(meaning = "length of a window in samples", min = 8, max = 4096)
                int windowSamples,
        @Parameter(meaning = "samples from window to window", min = 1, max = 4096) int rowSamples) {

    /** Every parameter at its default. */
    public static final SpectralCorrelationConfig DEFAULTS =
            new SpectralCorrelationConfig(EchoInput.RF, 128, 16);

    public SpectralCorrelationConfig {
        ConfigSchema.check(SpectralCorrelationConfig.class, input, windowSamples, rowSamples);
    }
}
