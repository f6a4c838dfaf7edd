package org.elasto.tracking.lattice;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** The interpolator's response to pure tones, against what it should be: 1. */
class BlockInterpolatorTest {

    private static double error(float[][] c, double g, double frequency) {
        double re = 0;
        double im = 0;
        int taps = c[0].length;
        for (int j = 0; j < taps; j++) {
            double weight = 0;
            for (int i = c.length - 1; i >= 0; i--) {
                weight = weight * g + c[i][j];
            }
            double angle = 2 * Math.PI * frequency * (j - (taps - 1) / 2.0 - g);
            re += weight * Math.cos(angle);
            im += weight * Math.sin(angle);
        }
        return 20 * Math.log10(Math.hypot(re - 1, im));
    }

    @Test
    void tonesComeBackBetweenTheSamples() {
        float[][] c = BlockInterpolator.coefficients(8, 5, 0.33, 0.75);
        int compared = 0;
        double worst = -200;
        double worstWithin = -200;
        for (double g = -0.5; g <= 0.501; g += 0.05) {
            for (double f = -0.32; f <= 0.321; f += 0.01) {
                double e = error(c, g, f);
                worst = Math.max(worst, e);
                worstWithin = Math.abs(f) <= 0.2 ? Math.max(worstWithin, e) : worstWithin;
                compared++;
            }
        }
        assertTrue(compared > 1000, "compared " + compared);
        // As SciPy's least squares gives: -44.3 and -47.9 dB.
        assertEquals(-44.3, worst, 0.5);
        assertEquals(-47.9, worstWithin, 0.5);
    }

    @Test
    void mirroredPlacesHaveMirroredTaps() {
        float[][] c = BlockInterpolator.coefficients(6, 5, 0.30, 0.5);
        for (int i = 0; i < c.length; i++) {
            for (int j = 0; j < 6; j++) {
                assertEquals((i % 2 == 0 ? 1 : -1) * c[i][5 - j], c[i][j]);
            }
        }
    }
}
