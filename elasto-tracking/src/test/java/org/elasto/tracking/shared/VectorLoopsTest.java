package org.elasto.tracking.shared;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import org.junit.jupiter.api.Test;

/** The loops that stand for functions of the JDK, against those. */
class VectorLoopsTest {

    private static final int N = 4001;

    @Test
    void sineAndCosineOfTurns() {
        float[] turns = new float[N];
        float[] sine = new float[N];
        float[] cosine = new float[N];
        for (int k = 0; k < N; k++) {
            turns[k] = (float) k / (N - 1) - 0.5f;
        }
        VectorLoops.sine(sine, turns, N);
        VectorLoops.cosine(cosine, turns, N);
        for (int k = 0; k < N; k++) {
            assertEquals(Math.sin(2 * Math.PI * turns[k]), sine[k], 1e-6);
            assertEquals(Math.cos(2 * Math.PI * turns[k]), cosine[k], 2e-6);
        }
    }

    @Test
    void turnsLieWithinHalfATurn() {
        float[] u = {0f, 0.3f, -0.7f, 1234.4f, -1234.6f};
        float[] turns = new float[u.length];
        VectorLoops.turns(turns, u, 1.5f, u.length);
        for (int k = 0; k < u.length; k++) {
            assertEquals(1.5 * u[k] - Math.rint(1.5 * u[k]), turns[k], 1e-4);
        }
    }

    @Test
    void angleOfComplexNumbers() {
        Random random = new Random(5);
        float[] re = new float[N];
        float[] im = new float[N];
        for (int k = 0; k < N; k++) {
            double angle = 2 * Math.PI * k / N - Math.PI;
            double size = Math.pow(10, 8 * random.nextDouble() - 4);
            re[k] = (float) (size * Math.cos(angle));
            im[k] = (float) (size * Math.sin(angle));
        }
        float[] turns = new float[N];
        VectorLoops.angle(turns, re, im, new float[N], N);
        for (int k = 0; k < N; k++) {
            double difference = turns[k] - Math.atan2(im[k], re[k]) / (2 * Math.PI);
            // A whole turn either way is the same angle.
            double limit = Math.abs(turns[k]) < 0.49 ? 3e-6 : 1e-4;
            assertEquals(0, difference - Math.rint(difference), limit, "turns " + turns[k]);
        }
        VectorLoops.angle(turns, new float[1], new float[1], new float[1], 1);
        assertEquals(0f, turns[0]);
    }

    @Test
    void logLikelihoodRisesAndIsCloseForSmallCoherence() {
        float[] x = new float[981];
        float[] y = new float[x.length];
        for (int k = 0; k < x.length; k++) {
            x[k] = k / 1000f;
        }
        VectorLoops.logLikelihood(y, x, x.length);
        for (int k = 1; k < x.length; k++) {
            assertEquals(true, y[k] > y[k - 1], "at " + x[k]);
            if (x[k] <= 0.75f) {
                assertEquals(1, y[k] / -Math.log(1 - x[k]), 0.03, "at " + x[k]);
            }
        }
    }
}
