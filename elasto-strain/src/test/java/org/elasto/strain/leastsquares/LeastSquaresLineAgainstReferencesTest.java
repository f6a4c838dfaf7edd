package org.elasto.strain.leastsquares;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.apache.commons.math3.stat.regression.OLSMultipleLinearRegression;
import org.apache.commons.math3.stat.regression.SimpleRegression;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.ejml.dense.row.factory.DecompositionFactory_DDRM;
import org.ejml.interfaces.decomposition.CholeskyDecomposition_F64;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.ErrorCorrelation.Shape;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.strain.shared.Fields;
import org.elasto.strain.shared.PlainLine;
import org.elasto.strain.shared.PlainTrust;
import org.elasto.strain.shared.RowWindow;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/** The fits against a plain reference, general-purpose libraries and published results. */
class LeastSquaresLineAgainstReferencesTest {

    private static final double SPACING = 0.1e-3;

    @Property(tries = 60, seed = "1")
    void agreesWithPlainFit(
            @ForAll @IntRange(min = 1, max = 12) int half,
            @ForAll @IntRange(min = 25, max = 140) int rows,
            @ForAll @DoubleRange(min = 0, max = 30) double errorRows,
            @ForAll Shape shape,
            @ForAll @DoubleRange(min = 0.5, max = 1) double share,
            @ForAll @DoubleRange(min = 0, max = 0.4) double unknown,
            @ForAll long seed) {
        FieldLayout layout =
                Fields.layout(2, rows, SPACING, new ErrorCorrelation(shape, errorRows * SPACING));
        DisplacementField field = Fields.random(layout, unknown, seed);
        StrainImage image = Lines.estimate(Lines.window(2 * half + 1, SPACING, share), field);
        for (int line = 0; line < 2; line++) {
            for (int r = 0; r < rows; r++) {
                PlainLine plain = PlainLine.fit(field, line, r, half, share);
                int i = line * rows + r;
                if (Double.isNaN(plain.slope)) {
                    assertTrue(Float.isNaN(image.axial()[i]));
                    assertTrue(Float.isNaN(image.axialDeviation()[i]));
                    assertFalse(image.trusted()[i]);
                    continue;
                }
                // 1e-6 of the largest that noise of this size can give: floats hold 6e-8.
                assertEquals(
                        plain.slope,
                        image.axial()[i],
                        1e-6 * Math.max(1e-4 / (half * SPACING), Math.abs(plain.slope)));
                assertEquals(plain.deviation, image.axialDeviation()[i], 1e-5 * plain.deviation);
                boolean near = Math.abs(plain.meanMatch - 0.6) < 1e-6;
                boolean trusted =
                        plain.deviation <= 1e-3f
                                && plain.meanMatch >= 0.6
                                && PlainTrust.rowAllows(field, line, r, half, 0.6);
                assertTrue(near || trusted == image.trusted()[i]);
            }
        }
    }

    /** Commons Math's SimpleRegression for equal weights. */
    @Property(tries = 20, seed = "2")
    void agreesWithSimpleRegression(
            @ForAll @IntRange(min = 1, max = 20) int half, @ForAll long seed) {
        int rows = 2 * half + 1;
        FieldLayout layout = Fields.layout(1, rows, SPACING, ErrorCorrelation.INDEPENDENT);
        DisplacementField field = Fields.known(layout);
        Random random = new Random(seed);
        SimpleRegression regression = new SimpleRegression();
        for (int r = 0; r < rows; r++) {
            field.axial()[r] = (float) (1e-5 * random.nextGaussian());
            regression.addData(layout.grid().depth(r), field.axial()[r]);
        }
        StrainImage image = Lines.estimate(Lines.window(rows, SPACING, 1), field);
        double slope = regression.getSlope();
        assertEquals(slope, image.axial()[half], 1e-6 * Math.abs(slope) + 1e-9);
    }

    /**
     * Commons Math's OLSMultipleLinearRegression on rows divided by their deviations, which is the
     * weighted regression; its unscaled parameter variance is that of independent errors.
     */
    @Property(tries = 20, seed = "3")
    void agreesWithWeightedRegression(
            @ForAll @IntRange(min = 1, max = 20) int half, @ForAll long seed) {
        int rows = 2 * half + 1;
        FieldLayout layout = Fields.layout(1, rows, SPACING, ErrorCorrelation.INDEPENDENT);
        DisplacementField field = Fields.random(layout, 0, seed);
        double[] y = new double[rows];
        double[][] x = new double[rows][];
        for (int r = 0; r < rows; r++) {
            double s = field.axialDeviation()[r];
            y[r] = field.axial()[r] / s;
            x[r] = new double[] {1 / s, (r - half) * SPACING / s};
        }
        OLSMultipleLinearRegression regression = new OLSMultipleLinearRegression();
        regression.setNoIntercept(true);
        regression.newSampleData(y, x);
        double slope = regression.estimateRegressionParameters()[1];
        double variance = regression.estimateRegressionParametersVariance()[1][1];
        StrainImage image = Lines.estimate(Lines.window(rows, SPACING, 1), field);
        assertEquals(slope, image.axial()[half], 2e-6 * Math.abs(slope) + 1e-6);
        assertEquals(Math.sqrt(variance), image.axialDeviation()[half], 1e-6 * Math.sqrt(variance));
    }

    /**
     * Kallel & Ophir, Ultrasonic Imaging 19:195-208, 1997: 12 s² / (D² N (N² - 1)) for N rows D
     * apart with independent errors s.
     */
    @ParameterizedTest
    @CsvSource({"3, 1e-6", "5, 1e-7", "17, 0.4e-6", "33, 2e-6"})
    void predictsPublishedVariance(int length, double s) {
        FieldLayout layout = Fields.layout(1, 80, SPACING, ErrorCorrelation.INDEPENDENT);
        DisplacementField field = Fields.known(layout);
        java.util.Arrays.fill(field.axialDeviation(), (float) s);
        StrainImage image = Lines.estimate(Lines.window(length, SPACING, 1), field);
        double n = length;
        double published = Math.sqrt(12 * s * s / (SPACING * SPACING * n * (n * n - 1)));
        assertEquals(published, image.axialDeviation()[40], 1e-6 * published);
    }

    /** The same variance, seen in strain from independent random displacements. */
    @Test
    void showsPublishedVariance() {
        int length = 17;
        int lines = 4000;
        FieldLayout layout = Fields.layout(lines, length, SPACING, ErrorCorrelation.INDEPENDENT);
        DisplacementField field = Fields.known(layout);
        Random random = new Random(4);
        for (int i = 0; i < layout.planeSize(); i++) {
            field.axial()[i] = (float) (1e-6 * random.nextGaussian());
        }
        StrainImage image = Lines.estimate(Lines.window(length, SPACING, 1), field);
        double sum = 0;
        for (int line = 0; line < lines; line++) {
            sum += Math.pow(image.axial()[line * length + length / 2], 2);
        }
        double published = 12e-12 / (SPACING * SPACING * 17 * (17 * 17 - 1));
        // The mean of n squares of Gaussians has a relative deviation of sqrt(2/n); 4 of them.
        assertEquals(published, sum / lines, 4 * Math.sqrt(2.0 / lines) * published);
    }

    /**
     * Savitzky & Golay, Anal Chem 36(8):1627-1639, 1964, tables of first derivatives: (-2 ...
     * 2)/10, (-3 ... 3)/28, (-4 ... 4)/60, as response to a displacement of one row alone.
     */
    @ParameterizedTest
    @CsvSource({"2, 10", "3, 28", "4, 60"})
    void hasPublishedWeights(int half, double divisor) {
        FieldLayout layout = Fields.layout(1, 41, SPACING, ErrorCorrelation.INDEPENDENT);
        DisplacementField field = Fields.known(layout);
        float impulse = 1e-6f;
        field.axial()[20] = impulse;
        StrainImage image = Lines.estimate(Lines.window(2 * half + 1, SPACING, 1), field);
        for (int r = 10; r <= 30; r++) {
            int k = 20 - r;
            double weight = Math.abs(k) <= half ? k / divisor : 0;
            assertEquals(weight, image.axial()[r] * SPACING / impulse, 1e-6);
        }
    }

    /** The predicted deviation against what correlated errors do, drawn from their covariance. */
    @ParameterizedTest
    @EnumSource(Shape.class)
    void predictsEffectOfCorrelatedErrors(Shape shape) {
        int length = 25;
        int lines = 4000;
        ErrorCorrelation errors = new ErrorCorrelation(shape, 1.1e-3);
        FieldLayout layout = Fields.layout(lines, length, SPACING, errors);
        DisplacementField field = Fields.known(layout);
        float[] s = new float[length];
        DMatrixRMaj covariance = new DMatrixRMaj(length, length);
        for (int i = 0; i < length; i++) {
            s[i] = (float) (1e-6 * (1 + 0.5 * Math.sin(i)));
        }
        for (int i = 0; i < length; i++) {
            for (int j = 0; j < length; j++) {
                covariance.set(i, j, (double) s[i] * s[j] * errors.at((i - j) * SPACING) * 1e12);
            }
            // Keeps the smooth Gaussian covariance positive definite in floating point.
            covariance.add(i, i, 1e-9);
        }
        CholeskyDecomposition_F64<DMatrixRMaj> cholesky =
                DecompositionFactory_DDRM.chol(length, true);
        assertTrue(cholesky.decompose(covariance));
        DMatrixRMaj root = cholesky.getT(null);
        DMatrixRMaj white = new DMatrixRMaj(length, 1);
        DMatrixRMaj drawn = new DMatrixRMaj(length, 1);
        Random random = new Random(5);
        for (int line = 0; line < lines; line++) {
            for (int i = 0; i < length; i++) {
                white.set(i, 0, random.nextGaussian());
            }
            CommonOps_DDRM.mult(root, white, drawn);
            for (int i = 0; i < length; i++) {
                field.axial()[line * length + i] = (float) (1e-6 * drawn.get(i, 0));
                field.axialDeviation()[line * length + i] = s[i];
            }
        }
        StrainImage image = Lines.estimate(Lines.window(length, SPACING, 1), field);
        double sum = 0;
        for (int line = 0; line < lines; line++) {
            sum += Math.pow(image.axial()[line * length + length / 2], 2);
        }
        double predicted = Math.pow(image.axialDeviation()[length / 2], 2);
        // 4 deviations of the mean of n squares of Gaussians.
        assertEquals(1, sum / lines / predicted, 4 * Math.sqrt(2.0 / lines));
        // The correlation matters: without it the prediction would be off by far.
        double[] z = new double[length];
        double[] sd = new double[length];
        double independent = 0;
        for (int i = 0; i < length; i++) {
            z[i] = i * SPACING;
            sd[i] = s[i];
        }
        double[] a = PlainLine.weights(z, sd, length);
        for (int i = 0; i < length; i++) {
            independent += a[i] * a[i] * sd[i] * sd[i];
        }
        assertTrue(predicted > 3 * independent, predicted / independent + " times");
    }

    /**
     * In the limit of many rows the response is (2 + 3y - y³)/4; its 10 % and 90 % by bisection.
     */
    @Test
    void resolutionTendsToThatOfContinuousWindow() {
        double low = 0;
        double high = 1;
        for (int i = 0; i < 60; i++) {
            double y = (low + high) / 2;
            if ((2 + 3 * y - y * y * y) / 4 < 0.9) {
                low = y;
            } else {
                high = y;
            }
        }
        assertEquals(
                low * 1.0, new RowWindow(2000, 1 / 4000.0, 0.5, new double[0]).resolution(), 1e-3);
    }

    /** The stated resolution against the response to a step of strain that moves past a row. */
    @ParameterizedTest
    @CsvSource({"3", "5", "17", "33"})
    void resolutionIsRiseOfStepResponse(int length) {
        int rows = 101;
        int middle = 50;
        FieldLayout layout = Fields.layout(1, rows, SPACING, ErrorCorrelation.INDEPENDENT);
        DisplacementField field = Fields.known(layout);
        LeastSquaresLineConfig config = Lines.window(length, SPACING, 1);
        double ten = Double.NaN;
        double ninety = Double.NaN;
        for (double step = middle + length; step > middle - length; step -= 0.01) {
            for (int r = 0; r < rows; r++) {
                field.axial()[r] = (float) (-0.01 * Math.max(0, r - step) * SPACING);
            }
            double response = Lines.estimate(config, field).axial()[middle] / -0.01;
            ten = Double.isNaN(ten) && response >= 0.1 ? step : ten;
            ninety = Double.isNaN(ninety) && response >= 0.9 ? step : ninety;
        }
        double resolution = Lines.estimate(config, field).layout().resolution();
        assertEquals((ten - ninety) * SPACING, resolution, 0.03 * SPACING);
    }
}
