package org.elasto.tracking.opticalflow;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import org.apache.commons.math3.linear.RealVector;
import org.elasto.api.Workers;
import org.junit.jupiter.api.Test;

class AlternatingSolverTest {

    /** Against the plainly written matrix, solved by Commons Math's Cholesky decomposition. */
    @Property(tries = 12, seed = "71")
    void manyRoundsSolveTheEquations(
            @ForAll @IntRange(min = 1, max = 7) int lines,
            @ForAll @IntRange(min = 1, max = 23) int length,
            @ForAll @DoubleRange(min = 0.1, max = 40) double p,
            @ForAll @DoubleRange(min = 0.1, max = 10) double q,
            @ForAll Random random) {
        int size = lines * length;
        float[] data = uniform(random, size, -1, 1);
        float[] weight = uniform(random, size, 0.1, 1);
        float[] along = uniform(random, size, 0.2, 1);
        float[] across = uniform(random, size, 0.2, 1);
        float[] u = uniform(random, size, -1, 1);
        new AlternatingSolver(lines, length, p, q, Workers.sequential())
                .smooth(data, weight, along, across, u, 1500);
        RealVector expected = dense(lines, length, p, q, data, weight, along, across);
        for (int i = 0; i < size; i++) {
            assertEquals(expected.getEntry(i), u[i], 2e-3, "at " + i);
        }
    }

    private static RealVector dense(
            int lines,
            int length,
            double p,
            double q,
            float[] data,
            float[] weight,
            float[] along,
            float[] across) {
        int size = lines * length;
        RealMatrix matrix = new Array2DRowRealMatrix(size, size);
        RealVector right = new ArrayRealVector(size);
        for (int line = 0; line < lines; line++) {
            for (int n = 0; n < length; n++) {
                int i = line * length + n;
                matrix.addToEntry(i, i, weight[i]);
                right.setEntry(i, (double) weight[i] * data[i]);
                if (n >= 1 && n < length - 1) {
                    addBend(matrix, i, 1, p * along[i]);
                }
                if (line >= 1 && line < lines - 1) {
                    addBend(matrix, i, length, q * across[i]);
                }
            }
        }
        return new CholeskyDecomposition(matrix, 1e-9, 1e-12).getSolver().solve(right);
    }

    private static void addBend(RealMatrix matrix, int i, int step, double weight) {
        int[] at = {i - step, i, i + step};
        double[] share = {1, -2, 1};
        for (int j = 0; j < 3; j++) {
            for (int k = 0; k < 3; k++) {
                matrix.addToEntry(at[j], at[k], weight * share[j] * share[k]);
            }
        }
    }

    /** A press, and what spreads evenly: smoothing must not bend it, at the edges either. */
    @Property(tries = 20, seed = "72")
    void aPlaneStaysAPlane(@ForAll Random random) {
        int lines = 20;
        int length = 300;
        double slopeAlong = 2e-5 * (random.nextDouble() - 0.5);
        double slopeAcross = 2e-5 * (random.nextDouble() - 0.5);
        float[] data = new float[lines * length];
        for (int i = 0; i < data.length; i++) {
            data[i] =
                    (float)
                            (slopeAlong * (i % length)
                                    + slopeAcross * (double) (i / length)
                                    + 1e-3);
        }
        float[] u = data.clone();
        float[] weight = uniform(random, data.length, 1e-4, 2);
        float[] hold = ones(data.length);
        new AlternatingSolver(lines, length, 3000, 4, Workers.sequential())
                .smooth(data, weight, hold, hold, u, 4);
        // 5 mm of displacement as a float is rounded to 0.2 nm.
        assertArrayEquals(data, u, 2e-9f);
    }

    /** Blocks between which smoothness lets go altogether do not know of each other. */
    @Test
    void aJumpSurvivesWhereSmoothnessLetsGo() {
        int lines = 8;
        int length = 60;
        float[] data = new float[lines * length];
        float[] along = ones(data.length);
        for (int i = 0; i < data.length; i++) {
            data[i] = i % length < 30 ? 1e-3f : -2e-3f;
            along[i] = i % length == 29 || i % length == 30 ? 0f : 1f;
        }
        float[] u = new float[data.length];
        new AlternatingSolver(lines, length, 3000, 4, Workers.sequential())
                .smooth(data, ones(data.length), along, ones(data.length), u, 60);
        assertArrayEquals(data, u, 1e-8f);
    }

    @Test
    void anyNumberOfWorkersGivesTheSameBits() {
        int lines = 17;
        int length = 150;
        Random random = new Random(5);
        float[] data = uniform(random, lines * length, -1e-3, 1e-3);
        float[] weight = uniform(random, data.length, 1e-4, 2);
        float[] hold = uniform(random, data.length, 0, 1);
        float[] one = new float[data.length];
        float[] three = new float[data.length];
        new AlternatingSolver(lines, length, 2000, 3, Workers.sequential())
                .smooth(data, weight, hold, hold, one, 4);
        try (Workers workers = Workers.threads(3)) {
            new AlternatingSolver(lines, length, 2000, 3, workers)
                    .smooth(data, weight, hold, hold, three, 4);
        }
        assertArrayEquals(one, three);
    }

    private static float[] ones(int size) {
        float[] values = new float[size];
        Arrays.fill(values, 1f);
        return values;
    }

    private static float[] uniform(Random random, int size, double from, double to) {
        float[] values = new float[size];
        for (int i = 0; i < size; i++) {
            values[i] = (float) (from + (to - from) * random.nextDouble());
        }
        return values;
    }
}
