package org.elasto.strain.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;

class ColourScaleTest {

    /** Perceived brightness as Green 2011 takes it: 0.30 red, 0.59 green, 0.11 blue. */
    private static double brightness(int argb) {
        return 0.30 * (argb >> 16 & 255) + 0.59 * (argb >> 8 & 255) + 0.11 * (argb & 255);
    }

    /**
     * Green, Bull Astron Soc India 39:289-295, 2011: brightness is the fraction to the power gamma,
     * whatever the colours; it runs from black to white. (The coefficients of the formula are from
     * memory; that they leave the brightness alone is what the paper derives them from.)
     */
    @Property(tries = 50, seed = "21")
    void cubehelixHasBrightnessOfItsFormula(
            @ForAll @DoubleRange(min = 0, max = 3) double start,
            @ForAll @DoubleRange(min = -3, max = 3) double rotations,
            @ForAll @DoubleRange(min = 0, max = 0.7) double hue,
            @ForAll @DoubleRange(min = 0.5, max = 2) double gamma) {
        ColourScale scale = ColourScale.cubehelix(start, rotations, hue, gamma);
        assertEquals(0xff000000, scale.colour(0));
        assertEquals(0xffffffff, scale.colour(1));
        for (int i = 0; i <= 255; i++) {
            int colour = scale.colour(i / 255.0);
            boolean cut =
                    i > 0
                            && i < 255
                            && (isEnd(colour >> 16 & 255)
                                    || isEnd(colour >> 8 & 255)
                                    || isEnd(colour & 255));
            // Each channel is rounded by up to half a level.
            double expected = 255 * Math.pow(i / 255.0, gamma);
            assertTrue(cut || Math.abs(expected - brightness(colour)) <= 0.51, "step " + i);
        }
    }

    private static boolean isEnd(int level) {
        return level == 0 || level == 255;
    }

    @Test
    void brightnessOnlyGrows() {
        for (ColourScale scale :
                new ColourScale[] {ColourScale.grey(), ColourScale.cubehelix(0.5, -1.5, 1, 1)}) {
            for (int i = 1; i <= 255; i++) {
                double before = brightness(scale.colour((i - 1) / 255.0));
                assertTrue(brightness(scale.colour(i / 255.0)) > before - 0.01, "step " + i);
            }
        }
    }

    /**
     * At half way with start 0 and no rotation, the angle is 0 and the formula can be done by hand.
     */
    @Test
    void cubehelixByHand() {
        int colour = ColourScale.cubehelix(0, 0, 1, 1).colour(0.5);
        double l = 128 / 255.0;
        double a = l * (1 - l) / 2;
        assertEquals(Math.round(255 * (l - 0.14861 * a)), colour >> 16 & 255);
        assertEquals(Math.round(255 * (l - 0.29227 * a)), colour >> 8 & 255);
        assertEquals(Math.round(255 * (l + 1.97294 * a)), colour & 255);
    }

    @Test
    void withoutHueItIsGrey() {
        for (int i = 0; i <= 255; i++) {
            assertEquals(
                    ColourScale.grey().colour(i / 255.0),
                    ColourScale.cubehelix(1, 2, 0, 1).colour(i / 255.0));
        }
    }

    @Test
    void endsHoldBeyondTheEnds() {
        assertEquals(0xff000000, ColourScale.grey().colour(-3));
        assertEquals(0xffffffff, ColourScale.grey().colour(Double.POSITIVE_INFINITY));
        assertThrows(IllegalArgumentException.class, () -> ColourScale.cubehelix(4, 0, 1, 1));
    }
}
