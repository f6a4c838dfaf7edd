package org.elasto.peers;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link TemplateTracker}s. Immutable and thread-safe.
 *
 * @param input what of the echoes is matched
 * @param windowSamples length of a template (samples)
 * @param windowLines width of a template (lines), odd
 * @param searchSamples farthest motion either way (samples)
 * @param rowSamples samples from template to template
 */
public record TemplateConfig(
        @Parameter(meaning = "what of the echoes is matched") EchoInput input,
        @Parameter(meaning = "length of a template in samples", min = 4, max = 4096)
                int windowSamples,
        @Parameter(meaning = "width of a template in lines", min = 1, max = 63) int windowLines,
        @Parameter(meaning = "farthest motion in samples", min = 1, max = 1024) int searchSamples,
        @Parameter(meaning = "samples from template to template", min = 1, max = 4096)
                int rowSamples) {

    /** Every parameter at its default. */
    public static final TemplateConfig DEFAULTS = new TemplateConfig(EchoInput.RF, 100, 3, 20, 16);

    public TemplateConfig {
        ConfigSchema.check(
                TemplateConfig.class, input, windowSamples, windowLines, searchSamples, rowSamples);
        if (windowLines % 2 == 0) {
            throw new IllegalArgumentException("window-lines is " + windowLines + "; make it odd");
        }
    }
}
