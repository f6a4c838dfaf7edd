package org.elasto.strain.picture;

import java.util.Objects;
import org.elasto.api.Check;

/**
 * Turns a fraction from 0 to 1 into a colour. Immutable and thread-safe.
 *
 * <p>Both kinds run from black to white with a brightness, as perceived, that only grows, so that
 * they read the same in a grey print.
 */
public final class ColourScale {

    /** The kinds of colour scale. */
    public enum Kind {
        /** Black over grey to white. */
        GREY,
        /** A helix around the grey axis, from black over colours of growing brightness to white. */
        CUBEHELIX
    }

    private static final int STEPS = 256;

    private final int[] colours = new int[STEPS];

    private ColourScale() {}

    /**
     * Black over grey to white.
     *
     * @return the scale
     */
    public static ColourScale grey() {
        ColourScale scale = new ColourScale();
        for (int i = 0; i < STEPS; i++) {
            int level = Math.round(255f * i / (STEPS - 1));
            scale.colours[i] = pack(level, level, level);
        }
        return scale;
    }

    /**
     * The scale of Green, Bull Astron Soc India 39:289&ndash;295, 2011. With the fraction f raised
     * to the power gamma as the brightness l, the angle {@code p = 2 pi (start/3 + rotations f)}
     * and the amplitude {@code a = hue l (1 - l) / 2}: red is {@code l + a (-0.14861 cos p +
     * 1.78277 sin p)}, green {@code l + a (-0.29227 cos p - 0.90649 sin p)}, blue {@code l + a
     * 1.97294 cos p}, each cut off at 0 and 1.
     *
     * @param start colour at the dark end: 1 red, 2 green, 3 blue; 0 to 3
     * @param rotations turns from the dark to the bright end, -10 to 10
     * @param hue saturation, 0 (grey) to 2; above 1 colours may be cut off
     * @param gamma below 1 stresses the dark end, above 1 the bright end; 0.1 to 10
     * @return the scale
     * @throws IllegalArgumentException if a parameter is out of range
     */
    public static ColourScale cubehelix(double start, double rotations, double hue, double gamma) {
        Check.range("start colour", start, 0, 3, "");
        Check.range("rotations", rotations, -10, 10, "");
        Check.range("hue", hue, 0, 2, "");
        Check.range("gamma", gamma, 0.1, 10, "");
        ColourScale scale = new ColourScale();
        for (int i = 0; i < STEPS; i++) {
            double f = i / (STEPS - 1.0);
            double l = Math.pow(f, gamma);
            double a = hue * l * (1 - l) / 2;
            double p = 2 * Math.PI * (start / 3 + rotations * f);
            double cos = Math.cos(p);
            double sin = Math.sin(p);
            scale.colours[i] =
                    pack(
                            level(l + a * (-0.14861 * cos + 1.78277 * sin)),
                            level(l + a * (-0.29227 * cos - 0.90649 * sin)),
                            level(l + a * 1.97294 * cos));
        }
        return scale;
    }

    /**
     * The scale that pictures of a config have.
     *
     * @param config how pictures look
     * @return the scale
     */
    public static ColourScale of(PictureConfig config) {
        Objects.requireNonNull(config, "picture config is missing");
        return config.colours() == Kind.GREY
                ? grey()
                : cubehelix(config.start(), config.rotations(), config.hue(), config.gamma());
    }

    /**
     * The colour of a fraction.
     *
     * @param fraction from 0 to 1; what lies outside takes the colour of the end
     * @return packed ARGB, opaque
     */
    public int colour(double fraction) {
        return colours[(int) (Math.min(1, Math.max(0, fraction)) * (STEPS - 1) + 0.5)];
    }

    /** The colours from 0 to 1 in even steps; the scale's own array, to be read only. */
    int[] palette() {
        return colours;
    }

    private static int level(double value) {
        return (int) Math.round(255 * Math.min(1, Math.max(0, value)));
    }

    static int pack(int red, int green, int blue) {
        return 0xff000000 | red << 16 | green << 8 | blue;
    }
}
