package org.elasto.strain.leastsquares;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.apache.commons.math3.stat.regression.OLSMultipleLinearRegression;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.strain.shared.Fields;
import org.junit.jupiter.api.Test;

/** Lateral strain, shear strain and averaging across lines. */
class LateralStrainTest {

    private static final int LINES = 40;
    private static final int ROWS = 80;
    private static final RowGrid GRID = new RowGrid(ROWS, 5e-3, 0.2e-3);

    /** A motion of the plane: displacement along x and along z at (x, z). */
    private interface Motion {
        double at(double x, double z);
    }

    private static DisplacementField field(ScanGeometry geometry, Motion alongX, Motion alongZ) {
        FieldLayout layout = new FieldLayout(geometry, GRID, true, ErrorCorrelation.INDEPENDENT);
        DisplacementField field = Fields.known(layout);
        for (int line = 0; line < LINES; line++) {
            double angle = geometry.angleOfLine(line);
            for (int r = 0; r < ROWS; r++) {
                double x = geometry.x(line, GRID.depth(r));
                double z = geometry.z(line, GRID.depth(r));
                double ux = alongX.at(x, z);
                double uz = alongZ.at(x, z);
                int i = line * ROWS + r;
                field.axial()[i] = (float) (uz * Math.cos(angle) + ux * Math.sin(angle));
                field.lateral()[i] = (float) (ux * Math.cos(angle) - uz * Math.sin(angle));
            }
        }
        return field;
    }

    @Test
    void linearArraySeesStrainOfPlane() {
        StrainImage image =
                Lines.estimate(
                        LeastSquaresLineConfig.DEFAULTS,
                        field(
                                Fields.linear(LINES),
                                (x, z) -> 0.004 * x + 0.003 * z,
                                (x, z) -> 0.001 * x - 0.008 * z));
        int i = 20 * ROWS + 40;
        assertEquals(-0.008, image.axial()[i], 1e-7);
        assertEquals(0.004, image.lateral()[i], 1e-7);
        assertEquals(0.002, image.shear()[i], 1e-7);
        // 2.4 mm are 9 lines, of which 7 must be known.
        assertTrue(Float.isNaN(image.lateral()[1 * ROWS + 40]));
        assertEquals(0.004, image.lateral()[2 * ROWS + 40], 1e-7);
    }

    /** Strain is a tensor: in the direction of a line at angle t it is turned by t. */
    @Test
    void convexArraySeesStrainOfPlane() {
        ScanGeometry geometry = Fields.convex(LINES);
        double xx = 0.004;
        double zz = -0.008;
        double xz = 0.002;
        StrainImage image =
                Lines.estimate(
                        LeastSquaresLineConfig.DEFAULTS,
                        field(
                                geometry,
                                (x, z) -> xx * x + 0.003 * z + 1e-4,
                                (x, z) -> 0.001 * x + zz * z - 2e-4));
        for (int line = 5; line < LINES - 5; line++) {
            double c = Math.cos(geometry.angleOfLine(line));
            double s = Math.sin(geometry.angleOfLine(line));
            int i = line * ROWS + 40;
            // A line of 5 points over 0.03 rad is off by less than 1e-4 of the displacement per r.
            assertEquals(c * c * zz + 2 * c * s * xz + s * s * xx, image.axial()[i], 1e-6);
            assertEquals(c * c * xx - 2 * c * s * xz + s * s * zz, image.lateral()[i], 3e-6);
            double shear = (c * c - s * s) * xz + c * s * (xx - zz);
            assertEquals(shear, image.shear()[i], 3e-6);
        }
    }

    @Test
    void movingAsAWholeIsNoStrain() {
        StrainImage image =
                Lines.estimate(
                        LeastSquaresLineConfig.DEFAULTS,
                        field(
                                Fields.convex(LINES),
                                (x, z) -> 1e-4 + 0.002 * z,
                                (x, z) -> 2e-4 - 0.002 * x));
        for (int line = 5; line < LINES - 5; line++) {
            int i = line * ROWS + 40;
            assertEquals(0, image.axial()[i], 1e-6);
            assertEquals(0, image.lateral()[i], 1e-6);
            assertEquals(0, image.shear()[i], 1e-6);
        }
    }

    /** Commons Math's regression on weighted rows, as in the test of axial strain. */
    @Property(tries = 10, seed = "12")
    void agreesWithWeightedRegression(@ForAll long seed) {
        FieldLayout layout =
                new FieldLayout(Fields.linear(9), GRID, true, ErrorCorrelation.INDEPENDENT);
        DisplacementField field = Fields.random(layout, 0, seed);
        StrainImage image = Lines.estimate(LeastSquaresLineConfig.DEFAULTS, field);
        int row = 40;
        int i = 4 * ROWS + row;
        double lateral = slope(field.lateral(), field.lateralDeviation(), row, ROWS, 9);
        assertEquals(
                lateral / Fields.PITCH, image.lateral()[i], 1e-5 * Math.abs(lateral / 3e-4) + 1e-6);
        double across = slope(field.axial(), field.axialDeviation(), row, ROWS, 9) / Fields.PITCH;
        double along = slope(field.lateral(), field.lateralDeviation(), i - 6, 1, 13) / 0.2e-3;
        assertEquals((across + along) / 2, image.shear()[i], 1e-5);
    }

    private static double slope(float[] u, float[] s, int from, int step, int n) {
        double[] y = new double[n];
        double[][] x = new double[n][];
        for (int k = 0; k < n; k++) {
            int i = from + k * step;
            y[k] = u[i] / s[i];
            x[k] = new double[] {1 / s[i], k / (double) s[i]};
        }
        OLSMultipleLinearRegression regression = new OLSMultipleLinearRegression();
        regression.setNoIntercept(true);
        regression.newSampleData(y, x);
        return regression.estimateRegressionParameters()[1];
    }

    @Test
    void averagesTrustedNeighboursOnly() {
        LeastSquaresLineConfig none = LeastSquaresLineConfig.DEFAULTS;
        // One line to either side.
        LeastSquaresLineConfig neighbours =
                new LeastSquaresLineConfig(2.4e-3, 0.75, 0.6, 1e-3, 2.4e-3, 0.6e-3);
        FieldLayout layout =
                new FieldLayout(Fields.linear(6), GRID, false, ErrorCorrelation.INDEPENDENT);
        DisplacementField field = Fields.known(layout);
        for (int i = 0; i < layout.planeSize(); i++) {
            int line = i / ROWS;
            field.axial()[i] = (float) (-0.001 * (line + 1) * GRID.depth(i % ROWS));
            field.axialDeviation()[i] = line == 1 ? 0.5e-6f : 1e-6f;
            field.correlation()[i] = line == 4 ? 0.1f : 1f;
        }
        StrainImage plain = Lines.estimate(none, field);
        StrainImage averaged = Lines.estimate(neighbours, field);
        int r = 40;
        // Weights 1, 4, 1.
        assertEquals(-(1 + 4 * 2 + 3) / 6e3, averaged.axial()[ROWS + r], 1e-6);
        // (1 + 2 + 1) / (1 + 4 + 1) of what lines 0 and 2 have, which is twice that of line 1.
        double deviation = 4 / 6.0 * 2 * plain.axialDeviation()[ROWS + r];
        assertEquals(deviation, averaged.axialDeviation()[ROWS + r], 1e-6 * deviation);
        // Line 4 is not trusted: it keeps its value and gives nothing to line 3 or 5.
        assertEquals(plain.axial()[4 * ROWS + r], averaged.axial()[4 * ROWS + r]);
        assertEquals(-0.0035, averaged.axial()[3 * ROWS + r], 1e-6);
        assertEquals(-0.006, averaged.axial()[5 * ROWS + r], 1e-6);
    }
}
