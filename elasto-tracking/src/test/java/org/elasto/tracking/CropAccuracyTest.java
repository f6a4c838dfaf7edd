package org.elasto.tracking;

import static org.junit.jupiter.api.Assertions.assertAll;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import org.apache.commons.math3.stat.regression.SimpleRegression;
import org.elasto.api.DisplacementField;
import org.elasto.api.RowGrid;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Displacement and strain on the committed crop against the finite-element truth. Strain is the
 * slope of Commons Math's least-squares line over 2.4 mm, for estimate and truth alike.
 */
class CropAccuracyTest {

    private static final double SHALLOWEST = 2e-3;
    private static final double DEEPEST = 35e-3;
    private static final double STRAIN_DEPTH = 2.4e-3;

    @ParameterizedTest
    @CsvSource({
        "coarse-to-fine-phase, '', 0.35e-6, 3.0e-4",
        "block-matching, '', 0.25e-6, 1.5e-4",
        "dynamic-programming, '', 0.2e-6, 1.2e-4",
        "lattice-phase, '', 0.25e-6, 1.5e-4",
        "axial-lattice-phase, '', 0.35e-6, 3.0e-4",
        "axial-lattice-phase, line-step=2, 0.35e-6, 3.0e-4",
        "axial-lattice-phase, line-step=4, 0.35e-6, 3.0e-4",
        "seed-growth, '', 0.2e-6, 1.2e-4",
        "variational-flow, '', 0.16e-6, 1.1e-4",
        "cross-correlation, peak=spline, 0.9e-6, 9.0e-4",
        "cross-correlation, peak=parabola, 0.9e-6, 9.0e-4",
    })
    void errorsStayWithinTheirLimits(
            String name, String parameters, double displacementLimit, double strainLimit)
            throws IOException {
        Crop crop = new Crop();
        DisplacementEstimator estimator =
                Catalogue.create(
                        Catalogue.displacementEstimators().get(name),
                        parameters,
                        crop.geometry,
                        Workers.sequential());
        DisplacementField field = estimator.newField();
        estimator.estimate(crop.first, crop.second, field);

        RowGrid grid = field.layout().grid();
        int half = (int) Math.round(STRAIN_DEPTH / 2 / grid.spacing());
        double squares = 0;
        double strainSquares = 0;
        int cells = 0;
        int unknown = 0;
        for (int line = 0; line < field.lines(); line++) {
            for (int row = 0; row < grid.rows(); row++) {
                double depth = grid.depth(row);
                if (depth < SHALLOWEST || depth > DEEPEST) {
                    continue;
                }
                double error = field.axial()[line * grid.rows() + row] - crop.truth(line, depth);
                if (Double.isNaN(error)) {
                    unknown++;
                    continue;
                }
                squares += error * error;
                double strain = slopeOfError(field, crop, line, row, half);
                strainSquares += strain * strain;
                cells++;
            }
        }
        double displacement = Math.sqrt(squares / cells);
        double strain = Math.sqrt(strainSquares / cells);
        String seen =
                String.format(
                        "%s %s: displacement %.3f um, strain %.4f %%, %d cells",
                        name, parameters, displacement * 1e6, strain * 100, cells);
        System.out.println(seen);
        assertAll(
                () -> assertTrue(displacement <= displacementLimit, seen),
                () -> assertTrue(strain <= strainLimit, seen));
        assertTrue(cells > 5000 && unknown < 0.002 * cells, seen + ", unknown " + unknown);
    }

    private static double slopeOfError(
            DisplacementField field, Crop crop, int line, int row, int half) {
        RowGrid grid = field.layout().grid();
        SimpleRegression regression = new SimpleRegression();
        for (int r = row - half; r <= row + half; r++) {
            if (r >= 0 && r < grid.rows()) {
                double depth = grid.depth(r);
                double u = field.axial()[line * grid.rows() + r];
                // Rows without a truth near the ends of the model, and unknown ones, are left out.
                if (depth >= 0.6e-3 && !Double.isNaN(u)) {
                    regression.addData(depth, u - crop.truth(line, depth));
                }
            }
        }
        return regression.getSlope();
    }
}
