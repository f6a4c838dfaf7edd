package org.elasto.strain.picture;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * How pictures look. Immutable and thread-safe.
 *
 * @param pixelsPerMillimetre pixels that a millimetre of tissue takes either way, 1 to 100
 * @param textScale size of text, lines and margins: 1 for a picture seen pixel by pixel, 2 for
 *     twice that, up to 8
 * @param dynamicRange range of echo strength from black to white (dB), 10 to 120
 * @param depthGain brightening of the echo picture with depth (dB/m), 0 to 20000
 * @param fullScale echo envelope that is shown white, in units of the samples, greater than 0; NaN
 *     for what the strongest 0.2 % of each frame exceed or what is half the dynamic range above its
 *     median, whichever is more
 * @param largestStrain size of strain at the bright end of the scale, greater than 0; NaN for a
 *     round number just above what a share of the trusted places reach
 * @param rangeShare that share, 0.5 to 1
 * @param colours kind of colour scale for strain
 * @param start cubehelix: colour at the dark end, 0 to 3
 * @param rotations cubehelix: turns from dark to bright, -10 to 10
 * @param hue cubehelix: saturation, 0 to 2
 * @param gamma cubehelix: stress of the dark (below 1) or bright end, 0.1 to 10
 */
public record PictureConfig(
        @Parameter(
                        meaning = "pixels that a millimetre of tissue takes",
                        unit = "1/mm",
                        min = 1,
                        max = 100)
                double pixelsPerMillimetre,
        @Parameter(meaning = "size of text and lines", min = 1, max = 8) int textScale,
        @Parameter(
                        meaning = "range of echo strength from black to white",
                        unit = "dB",
                        min = 10,
                        max = 120)
                double dynamicRange,
        @Parameter(
                        meaning = "brightening of the echo picture with depth",
                        unit = "dB/m",
                        min = 0,
                        max = 20000)
                double depthGain,
        @Parameter(
                        meaning = "echo envelope that is shown white, by itself if left open",
                        min = Double.MIN_NORMAL,
                        optional = true)
                double fullScale,
        @Parameter(
                        meaning = "size of strain at the bright end, by itself if left open",
                        min = 1e-9,
                        max = 1e3,
                        optional = true)
                double largestStrain,
        @Parameter(
                        meaning = "share of trusted places that the range by itself holds",
                        min = 0.5,
                        max = 1)
                double rangeShare,
        @Parameter(meaning = "kind of colour scale for strain") ColourScale.Kind colours,
        @Parameter(meaning = "cubehelix: colour at the dark end", min = 0, max = 3) double start,
        @Parameter(meaning = "cubehelix: turns from dark to bright", min = -10, max = 10)
                double rotations,
        @Parameter(meaning = "cubehelix: saturation", min = 0, max = 2) double hue,
        @Parameter(meaning = "cubehelix: stress of dark or bright end", min = 0.1, max = 10)
                double gamma) {

    /** Every parameter at its default. */
    public static final PictureConfig DEFAULTS =
            new PictureConfig(
                    10,
                    1,
                    55,
                    0,
                    Double.NaN,
                    Double.NaN,
                    0.95,
                    ColourScale.Kind.GREY,
                    0.5,
                    -1.5,
                    1,
                    1);

    public PictureConfig {
        ConfigSchema.check(
                PictureConfig.class,
                pixelsPerMillimetre,
                textScale,
                dynamicRange,
                depthGain,
                fullScale,
                largestStrain,
                rangeShare,
                colours,
                start,
                rotations,
                hue,
                gamma);
    }

    /**
     * The schema, for a change by text such as {@code colours=cubehelix,text-scale=2}.
     *
     * @return the schema
     */
    public static ConfigSchema<PictureConfig> schema() {
        return ConfigSchema.of(PictureConfig.class);
    }
}
