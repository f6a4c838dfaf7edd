package org.elasto.peers.boofcv;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;
import org.elasto.peers.EchoInput;

/**
 * Parameters of {@link BoofFlowProvider}. Immutable and thread-safe.
 *
 * @param input what of the echoes is made an image
 * @param method the library's method
 */
public record BoofFlowConfig(
        @Parameter(meaning = "what of the echoes is made an image") EchoInput input,
        @Parameter(meaning = "the library's method") BoofFlow method) {

    /** Every parameter at its default. */
    public static final BoofFlowConfig DEFAULTS =
            new BoofFlowConfig(EchoInput.LOG_ENVELOPE, BoofFlow.HORN_SCHUNCK_PYRAMID);

    public BoofFlowConfig {
        ConfigSchema.check(BoofFlowConfig.class, input, method);
    }
}
