package org.elasto.strain.generalised;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.apache.commons.math3.stat.regression.GLSMultipleLinearRegression;
import org.ejml.data.DMatrixRMaj;
import org.ejml.simple.SimpleMatrix;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.ErrorCorrelation.Shape;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.strain.leastsquares.LeastSquaresLineConfig;
import org.elasto.strain.leastsquares.LeastSquaresLineProvider;
import org.elasto.strain.shared.Draws;
import org.elasto.strain.shared.Fields;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class GeneralisedLeastSquaresTest {

    private static final double SPACING = 0.15e-3;
    private static final int HALF = 8;
    private static final int LENGTH = 17;
    private static final double SHARE = 0.01;
    private static final GeneralisedLeastSquaresConfig CONFIG =
            new GeneralisedLeastSquaresConfig(16 * SPACING, SHARE, 0.75, 0.6, 1, 2.4e-3);

    private static StrainImage estimate(DisplacementField field) {
        return Fields.estimate(new GeneralisedLeastSquaresProvider(), CONFIG, field);
    }

    /** Covariance that the fit reckons with (nm²). */
    private static double[][] fitted(ErrorCorrelation errors, int[] at, double[] s) {
        double[][] covariance = new double[s.length][s.length];
        for (int i = 0; i < s.length; i++) {
            for (int j = 0; j < s.length; j++) {
                double r = i == j ? 1 : (1 - SHARE) * errors.at((at[i] - at[j]) * SPACING);
                covariance[i][j] = s[i] * s[j] * r * 1e18;
            }
        }
        return covariance;
    }

    /** Commons Math's generalised regression, wherever deviations differ or rows are unknown. */
    @Property(tries = 12, seed = "1")
    void agreesWithGeneralisedRegression(@ForAll Shape shape, @ForAll long seed) {
        ErrorCorrelation errors = new ErrorCorrelation(shape, 2.1e-3);
        FieldLayout layout = Fields.layout(1, 50, SPACING, errors);
        DisplacementField field = Fields.random(layout, 0.08, seed);
        StrainImage image = estimate(field);
        int compared = 0;
        for (int r = 0; r < 50; r++) {
            int[] at = new int[LENGTH];
            double[] s = new double[LENGTH];
            double[] u = new double[LENGTH];
            double[][] x = new double[LENGTH][];
            int n = 0;
            for (int k = Math.max(0, r - HALF); k <= Math.min(49, r + HALF); k++) {
                float d = field.axialDeviation()[k];
                if (field.correlation()[k] > 0
                        && Float.isFinite(field.axial()[k])
                        && d >= 0
                        && d <= 1e-4f) {
                    at[n] = k - r;
                    s[n] = Math.max(1e-9, d);
                    u[n] = field.axial()[k];
                    x[n++] = new double[] {1, (k - r) * SPACING * 1e3};
                }
            }
            if (n < 13) {
                assertTrue(Float.isNaN(image.axial()[r]));
                continue;
            }
            at = Arrays.copyOf(at, n);
            s = Arrays.copyOf(s, n);
            GLSMultipleLinearRegression regression = new GLSMultipleLinearRegression();
            regression.setNoIntercept(true);
            regression.newSampleData(
                    Arrays.copyOf(u, n), Arrays.copyOf(x, n), fitted(errors, at, s));
            double slope = regression.estimateRegressionParameters()[1] * 1e3;
            assertEquals(slope, image.axial()[r], 1e-4 * Math.abs(slope) + 1e-3);
            compared++;
        }
        assertTrue(compared > 20, compared + " rows");
    }

    /** Variances by theory: of the weights under the covariance, and the least there can be. */
    private static double[] variances(ErrorCorrelation errors, double[] s) {
        DMatrixRMaj stated = Draws.covariance(errors, SPACING, s);
        int[] at = new int[LENGTH];
        Arrays.setAll(at, i -> i - HALF);
        SimpleMatrix c = SimpleMatrix.wrap(stated);
        SimpleMatrix f = new SimpleMatrix(fitted(errors, at, s));
        SimpleMatrix x = new SimpleMatrix(LENGTH, 2);
        SimpleMatrix plainWeights = new SimpleMatrix(LENGTH, 1);
        for (int i = 0; i < LENGTH; i++) {
            x.set(i, 0, 1);
            x.set(i, 1, at[i] * SPACING);
        }
        double[] precision = new double[LENGTH];
        double sum = 0;
        double middle = 0;
        for (int i = 0; i < LENGTH; i++) {
            precision[i] = 1 / (s[i] * s[i]);
            sum += precision[i];
            middle += precision[i] * at[i] * SPACING;
        }
        middle /= sum;
        double spread = 0;
        for (int i = 0; i < LENGTH; i++) {
            spread += precision[i] * Math.pow(at[i] * SPACING - middle, 2);
        }
        for (int i = 0; i < LENGTH; i++) {
            plainWeights.set(i, 0, precision[i] * (at[i] * SPACING - middle) / spread);
        }
        SimpleMatrix inverse = f.invert();
        SimpleMatrix weights =
                inverse.mult(x).mult(x.transpose().mult(inverse).mult(x).invert()).cols(1, 2);
        double own = weights.transpose().mult(c).mult(weights).get(0) * 1e-18;
        double plain = plainWeights.transpose().mult(c).mult(plainWeights).get(0) * 1e-18;
        SimpleMatrix least = x.transpose().mult(f.invert()).mult(x).invert();
        return new double[] {own, plain, least.get(1, 1) * 1e-18};
    }

    /**
     * In errors of overlapping windows the variance falls against plain least squares by the factor
     * that theory gives ({@code (X'C⁻¹X)⁻¹}: Aitken, Proc Roy Soc Edinburgh 55:42-48, 1935), both
     * computed here by EJML's SimpleMatrix, and so it does in errors drawn from the covariance.
     */
    @ParameterizedTest
    @EnumSource(Shape.class)
    void beatsPlainLeastSquaresByTheFactorOfTheory(Shape shape) {
        int lines = 6000;
        ErrorCorrelation errors = new ErrorCorrelation(shape, 2.1e-3);
        FieldLayout layout = Fields.layout(lines, LENGTH, SPACING, errors);
        DisplacementField field = Fields.known(layout);
        double[] s = new double[LENGTH];
        Arrays.fill(s, 1e-6f);
        Draws.addErrors(field, 7);
        StrainImage own = estimate(field);
        StrainImage plain =
                Fields.estimate(
                        new LeastSquaresLineProvider(),
                        new LeastSquaresLineConfig(16 * SPACING, 0.75, 0.6, 1, 2.4e-3, 0),
                        field);
        double[] theory = variances(errors, s);
        double seenOwn = 0;
        double seenPlain = 0;
        for (int line = 0; line < lines; line++) {
            seenOwn += Math.pow(own.axial()[line * LENGTH + HALF], 2) / lines;
            seenPlain += Math.pow(plain.axial()[line * LENGTH + HALF], 2) / lines;
        }
        double four = 4 * Math.sqrt(2.0 / lines);
        assertEquals(1, seenOwn / theory[0], four);
        assertEquals(1, seenPlain / theory[1], four);
        assertEquals(Math.sqrt(theory[0]), own.axialDeviation()[HALF], 1e-4 * Math.sqrt(theory[0]));
        // Seen on the same errors, so that the ratio scatters less than either.
        assertEquals(theory[1] / theory[0], seenPlain / seenOwn, 0.1 * theory[1] / theory[0]);
        assertTrue(theory[1] / theory[0] > 1.05, shape + ": " + theory[1] / theory[0] + " times");
        System.out.printf(
                "%s: variance of plain over generalised least squares %.3f by theory, %.3f seen%n",
                shape, theory[1] / theory[0], seenPlain / seenOwn);
    }

    /**
     * Just short of the ratio at which windows are solved on their own, next to nothing is lost.
     */
    @ParameterizedTest
    @EnumSource(Shape.class)
    void evenWeightsCostLittleWhereDeviationsDifferLittle(Shape shape) {
        ErrorCorrelation errors = new ErrorCorrelation(shape, 2.1e-3);
        DisplacementField field = Fields.known(Fields.layout(1, LENGTH, SPACING, errors));
        double[] s = new double[LENGTH];
        for (int i = 0; i < LENGTH; i++) {
            s[i] = (float) (1e-6 * (1.24 + 0.24 * Math.sin(i / 3.0)));
            field.axialDeviation()[i] = (float) s[i];
        }
        double used = estimate(field).axialDeviation()[HALF];
        double best = Math.sqrt(variances(errors, s)[0]);
        assertTrue(used < 1.03 * best, used / best + " of the optimum");
    }
}
