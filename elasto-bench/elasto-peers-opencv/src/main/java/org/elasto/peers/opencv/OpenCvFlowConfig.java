package org.elasto.peers.opencv;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;
import org.elasto.peers.EchoInput;

/**
 * Parameters of {@link OpenCvFlowProvider}. Immutable and thread-safe.
 *
 * @param input what of the echoes is made an image
 * @param method the library's method
 */
public record OpenCvFlowConfig(
        @Parameter(meaning = "what of the echoes is made an image") EchoInput input,
        @Parameter(meaning = "the library's method") OpenCvFlow method) {

    /** Every parameter at its default. */
    public static final OpenCvFlowConfig DEFAULTS =
            new OpenCvFlowConfig(EchoInput.LOG_ENVELOPE, OpenCvFlow.INVERSE_SEARCH_MEDIUM);

    public OpenCvFlowConfig {
        ConfigSchema.check(OpenCvFlowConfig.class, input, method);
    }
}
