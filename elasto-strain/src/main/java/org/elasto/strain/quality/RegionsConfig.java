package org.elasto.strain.quality;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;
import org.elasto.strain.measure.Region;

/**
 * Parameters of {@link RegionContrastToNoiseProvider} and {@link RegionStrainRatioProvider}.
 * Immutable and thread-safe.
 *
 * @param inside the first region, in the form of {@link Region#parse}: {@code ellipse X Z
 *     HALF-WIDTH HALF-DEPTH [ANGLE]} or {@code polygon X Z X Z X Z ...} in millimetres and degrees;
 *     empty for an ellipse in the middle of the left half of the image
 * @param beside the second region, likewise; empty for the right half
 * @param valueOfHalf value that scores one half, 0.01 to 1000
 */
public record RegionsConfig(
        @Parameter(
                        meaning =
                                "first region: ellipse x z half-width half-depth, or polygon x z x"
                                        + " z x z (mm)",
                        optional = true)
                String inside,
        @Parameter(meaning = "second region, in the same form", optional = true) String beside,
        @Parameter(meaning = "value that scores one half", min = 0.01, max = 1000)
                double valueOfHalf) {

    /** Every parameter at its default for the contrast to noise. */
    static final RegionsConfig CONTRAST = new RegionsConfig("", "", 5);

    /** Every parameter at its default for the strain ratio. */
    static final RegionsConfig RATIO = new RegionsConfig("", "", 1);

    public RegionsConfig {
        ConfigSchema.check(RegionsConfig.class, inside, beside, valueOfHalf);
        checkText(inside);
        checkText(beside);
    }

    static void checkText(String region) {
        if (!region.isBlank()) {
            Region.parse(region);
        }
    }
}
