package org.elasto.tracking.dynamicprogramming;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import org.apache.commons.math3.linear.RealVector;
import org.junit.jupiter.api.Test;

/** The banded solve against Commons Math's LU decomposition of the full matrix. */
class SmoothLineTest {

    /** Adds k (1 -2 1)' (1 -2 1) for one of the two unknowns of the samples around n. */
    private static void plainBend(RealMatrix m, int n, int which, double k) {
        int[] at = {2 * (n - 1) + which, 2 * n + which, 2 * (n + 1) + which};
        double[] w = {1, -2, 1};
        for (int i = 0; i < 3; i++) {
            for (int j = 0; j < 3; j++) {
                m.addToEntry(at[i], at[j], k * w[i] * w[j]);
            }
        }
    }

    @Property(tries = 30, seed = "11")
    void solvesAsAFullMatrixDoes(
            @ForAll @IntRange(min = 1, max = 30) int samples,
            @ForAll @DoubleRange(min = 0.01, max = 3000) double axialStiffness,
            @ForAll @DoubleRange(min = 0.01, max = 3000) double lateralStiffness,
            @ForAll long seed) {
        Random random = new Random(seed);
        RealMatrix matrix = new Array2DRowRealMatrix(2 * samples, 2 * samples);
        RealVector right = new ArrayRealVector(2 * samples);
        SmoothLine line = new SmoothLine(samples);
        // What an earlier line left behind must not show.
        line.clear();
        for (int n = 0; n < samples; n++) {
            line.set(n, 5, 1, 5, 1, 1);
        }
        line.solve();
        line.clear();
        for (int n = 0; n < samples; n++) {
            double a = 0.1 + random.nextDouble();
            double l = 0.1 + random.nextDouble();
            double c = 0.9 * (2 * random.nextDouble() - 1) * Math.sqrt(a * l);
            double ra = random.nextGaussian();
            double rl = random.nextGaussian();
            line.set(n, a, c, l, ra, rl);
            matrix.addToEntry(2 * n, 2 * n, a);
            matrix.addToEntry(2 * n + 1, 2 * n + 1, l);
            matrix.addToEntry(2 * n, 2 * n + 1, c);
            matrix.addToEntry(2 * n + 1, 2 * n, c);
            right.setEntry(2 * n, ra);
            right.setEntry(2 * n + 1, rl);
            if (n > 0 && n < samples - 1 && random.nextInt(5) > 0) {
                line.smooth(n, axialStiffness, lateralStiffness);
                plainBend(matrix, n, 0, axialStiffness);
                plainBend(matrix, n, 1, lateralStiffness);
            }
        }
        line.solve();
        RealVector expected = new LUDecomposition(matrix).getSolver().solve(right);
        for (int n = 0; n < samples; n++) {
            assertEquals(expected.getEntry(2 * n), line.axial(n), 1e-8);
            assertEquals(expected.getEntry(2 * n + 1), line.lateral(n), 1e-8);
        }
    }

    private static double[] response(int samples, int disturbed, double stiffness) {
        SmoothLine line = new SmoothLine(samples);
        line.clear();
        for (int n = 0; n < samples; n++) {
            line.set(n, 1, 0, 1, n == disturbed ? 1 : 0, 0);
            if (n > 0 && n < samples - 1) {
                line.smooth(n, stiffness, 1);
            }
        }
        line.solve();
        double[] response = new double[samples];
        for (int n = 0; n < samples; n++) {
            response[n] = line.axial(n);
        }
        return response;
    }

    /**
     * The inverse Fourier transform of 1 / (1 + (l w)^4) is exp(-a) (cos a + sin a) / (2 sqrt 2 l)
     * with a = |x| / (l sqrt 2): a standard integral, tables of Fourier transforms. Its equivalent
     * length (sum w)^2 / sum w^2 is 8 sqrt 2 l / 3.
     */
    @Test
    void respondsToOneSampleAsTheoryHasIt() {
        double smoothing = 12;
        double[] w = response(401, 200, Math.pow(smoothing, 4));
        double sum = 0;
        double squares = 0;
        for (int n = 0; n < w.length; n++) {
            double a = Math.abs(n - 200) / (smoothing * Math.sqrt(2));
            double expected =
                    Math.exp(-a) * (Math.cos(a) + Math.sin(a)) / (2 * Math.sqrt(2) * smoothing);
            assertEquals(expected, w[n], 0.002 / smoothing, "sample " + n);
            sum += w[n];
            squares += w[n] * w[n];
        }
        assertEquals(1, sum, 1e-6);
        assertEquals(SmoothLine.EQUIVALENT_LENGTH * smoothing, sum * sum / squares, 0.05);
    }

    @Test
    void evenStrainIsLeftAlone() {
        int samples = 60;
        SmoothLine line = new SmoothLine(samples);
        line.clear();
        for (int n = 0; n < samples; n++) {
            // Weights as uneven as speckle.
            double weight = 0.01 + (n * 7919 % 13) / 6.0;
            line.set(n, weight, 0, 1, weight * (3 - 0.2 * n), 0.5);
            if (n > 0 && n < samples - 1) {
                line.smooth(n, 1e4, 1e5);
            }
        }
        line.solve();
        for (int n = 0; n < samples; n++) {
            assertEquals(3 - 0.2 * n, line.axial(n), 1e-7);
            assertEquals(0.5, line.lateral(n), 1e-7);
        }
    }

    @Test
    void theEndsErrMoreByTheRowsOfTheInverse() {
        int samples = 150;
        double stiffness = Math.pow(6, 4);
        RealMatrix matrix = new Array2DRowRealMatrix(2 * samples, 2 * samples);
        for (int n = 0; n < samples; n++) {
            matrix.addToEntry(2 * n, 2 * n, 1);
            matrix.addToEntry(2 * n + 1, 2 * n + 1, 1);
            if (n > 0 && n < samples - 1) {
                plainBend(matrix, n, 0, stiffness);
            }
        }
        RealMatrix inverse = new LUDecomposition(matrix).getSolver().getInverse();
        float[] factors = SmoothLine.endFactors(samples, stiffness);
        double endless = 1 / (SmoothLine.EQUIVALENT_LENGTH * 6);
        for (int n = 0; n < samples; n++) {
            double squares = 0;
            for (int k = 0; k < samples; k++) {
                squares += Math.pow(inverse.getEntry(2 * n, 2 * k), 2);
            }
            assertEquals(Math.sqrt(squares / endless), factors[n], 0.01, "sample " + n);
        }
    }
}
