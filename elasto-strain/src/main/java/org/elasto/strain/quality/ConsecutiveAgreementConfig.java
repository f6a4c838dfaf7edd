package org.elasto.strain.quality;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link ConsecutiveAgreementProvider}. Immutable and thread-safe.
 *
 * @param leastOverlap smallest share of the image that must be trusted in both images, 0 to 1; with
 *     less there is no score
 */
public record ConsecutiveAgreementConfig(
        @Parameter(
                        meaning = "smallest share of the image that is trusted in both images",
                        min = 0,
                        max = 1)
                double leastOverlap) {

    /** Every parameter at its default. */
    public static final ConsecutiveAgreementConfig DEFAULTS = new ConsecutiveAgreementConfig(0.1);

    public ConsecutiveAgreementConfig {
        ConfigSchema.check(ConsecutiveAgreementConfig.class, leastOverlap);
    }
}
