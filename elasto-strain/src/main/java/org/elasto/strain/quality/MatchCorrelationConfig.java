package org.elasto.strain.quality;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link MatchCorrelationProvider}. Immutable and thread-safe.
 *
 * @param countUnknown whether places whose strain is unknown count as 0; otherwise they are left
 *     out of the mean
 */
public record MatchCorrelationConfig(
        @Parameter(meaning = "whether places of unknown strain count as 0 or are left out")
                boolean countUnknown) {

    /** Every parameter at its default. */
    public static final MatchCorrelationConfig DEFAULTS = new MatchCorrelationConfig(false);

    public MatchCorrelationConfig {
        ConfigSchema.check(MatchCorrelationConfig.class, countUnknown);
    }
}
