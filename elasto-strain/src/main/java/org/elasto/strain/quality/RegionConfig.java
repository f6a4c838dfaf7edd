package org.elasto.strain.quality;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link RegionSignalToNoiseProvider}. Immutable and thread-safe.
 *
 * @param region the region, in the form of {@link org.elasto.strain.measure.Region#parse}: {@code
 *     ellipse X Z HALF-WIDTH HALF-DEPTH [ANGLE]} or {@code polygon X Z X Z X Z ...} in millimetres
 *     and degrees; empty for an ellipse in the middle of the left half of the image
 * @param ratioOfHalf ratio that scores one half, 0.1 to 1000
 */
public record RegionConfig(
        @Parameter(
                        meaning =
                                "region: ellipse x z half-width half-depth, or polygon x z x z x z"
                                        + " (mm)",
                        optional = true)
                String region,
        @Parameter(meaning = "ratio that scores one half", min = 0.1, max = 1000)
                double ratioOfHalf) {

    /** Every parameter at its default. */
    public static final RegionConfig DEFAULTS = new RegionConfig("", 5);

    public RegionConfig {
        ConfigSchema.check(RegionConfig.class, region, ratioOfHalf);
        RegionsConfig.checkText(region);
    }
}
