package org.elasto.strain.shared;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.apache.commons.math3.stat.regression.GLSMultipleLinearRegression;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Polynomial fits against published weights and Commons Math. */
class PolynomialFitTest {

    /**
     * Savitzky & Golay, Anal Chem 36(8):1627-1639, 1964, tables of convolutes, as corrected by
     * Steinier, Termonia & Deltour, Anal Chem 44(11):1906-1909, 1972 (values from memory).
     */
    @ParameterizedTest
    @CsvSource({
        "2, 0, 35, -3 12 17 12 -3",
        "3, 0, 21, -2 3 6 7 6 3 -2",
        "4, 0, 231, 5 -30 75 131 75 -30 5",
        "2, 1, 10, -2 -1 0 1 2",
        "2, 1, 28, -3 -2 -1 0 1 2 3",
        "2, 1, 60, -4 -3 -2 -1 0 1 2 3 4",
        "3, 1, 12, 1 -8 0 8 -1",
        "4, 1, 252, 22 -67 -58 0 58 67 -22"
    })
    void hasPublishedWeights(int order, int derivative, double divisor, String table) {
        double[] published =
                Arrays.stream(table.split(" ")).mapToDouble(Double::parseDouble).toArray();
        int n = published.length;
        int[] at = new int[n];
        Arrays.setAll(at, i -> i - n / 2);
        double[] weights = new double[n];
        PolynomialFit fit = new PolynomialFit(n, order, n / 2, null);
        assertTrue(fit.solve(n, at, null, derivative, weights));
        for (int i = 0; i < n; i++) {
            assertEquals(published[i] / divisor, weights[i], 1e-12);
        }
    }

    /** Commons Math's generalised least squares on some rows of a window, with any deviations. */
    @Property(tries = 60, seed = "1")
    void agreesWithGeneralisedRegression(
            @ForAll @IntRange(min = 5, max = 25) int length,
            @ForAll @IntRange(min = 1, max = 3) int order,
            @ForAll @DoubleRange(min = 0.05, max = 1) double independent,
            @ForAll @DoubleRange(min = 0, max = 0.4) double missing,
            @ForAll long seed) {
        Random random = new Random(seed);
        double[] correlation = new double[length];
        Arrays.setAll(
                correlation,
                d -> d == 0 ? 1 : (1 - independent) * Math.exp(-Math.PI * d * d / 100.0));
        int[] at = new int[length];
        int n = 0;
        for (int k = 0; k < length; k++) {
            if (random.nextDouble() >= missing || length - k <= order + 2 - n) {
                at[n++] = k - length / 2;
            }
        }
        double[] s = new double[n];
        double[] precision = new double[n];
        double[] u = new double[n];
        double[][] x = new double[n][order + 1];
        for (int i = 0; i < n; i++) {
            s[i] = Math.exp(random.nextGaussian());
            precision[i] = 1 / s[i];
            u[i] = random.nextGaussian();
            for (int p = 0; p <= order; p++) {
                x[i][p] = Math.pow(at[i] / 5.0, p);
            }
        }
        double[][] covariance = new double[n][n];
        for (int i = 0; i < n; i++) {
            for (int j = 0; j < n; j++) {
                covariance[i][j] = s[i] * s[j] * correlation[Math.abs(at[i] - at[j])];
            }
        }
        GLSMultipleLinearRegression regression = new GLSMultipleLinearRegression();
        regression.setNoIntercept(true);
        regression.newSampleData(u, x, covariance);
        double[] beta = regression.estimateRegressionParameters();
        PolynomialFit fit = new PolynomialFit(length, order, length / 2.0, correlation);
        double[] weights = new double[length];
        for (int derivative = 0; derivative < 2; derivative++) {
            assertTrue(fit.solve(n, at, precision, derivative, weights));
            double value = 0;
            double size = 0;
            for (int i = 0; i < n; i++) {
                value += weights[i] * u[i];
                size += Math.abs(weights[i] * u[i]);
            }
            double expected = derivative == 0 ? beta[0] : beta[1] / 5;
            assertEquals(expected, value, 1e-8 * size);
        }
    }
}
