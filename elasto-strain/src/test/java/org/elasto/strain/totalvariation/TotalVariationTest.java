package org.elasto.strain.totalvariation;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.strain.leastsquares.LeastSquaresLineConfig;
import org.elasto.strain.leastsquares.LeastSquaresLineProvider;
import org.elasto.strain.shared.Draws;
import org.elasto.strain.shared.Fields;
import org.junit.jupiter.api.Test;

class TotalVariationTest {

    private static final double SPACING = 0.15e-3;

    /**
     * The conditions for the least of a convex function (Rockafellar, Convex Analysis, 1970): with
     * enough steps the dual variables lie within the prices, balance what was measured, and are at
     * their limit wherever strain changes. They are computed here from the solution alone.
     */
    @Test
    void manyStepsFindTheLeast() {
        int lines = 6;
        int rows = 40;
        EvenStrainSolver solver = new EvenStrainSolver(lines, rows, 16, 3, Workers.sequential());
        Random random = new Random(1);
        for (int r = 0; r < rows; r++) {
            for (int l = 0; l < lines; l++) {
                solver.measured[r][l] =
                        0.5 * Math.max(0, r - 17) * (l > 2 ? 1 : 2) + random.nextGaussian();
                solver.value[r][l] = solver.measured[r][l];
                solver.weight[r][l] = random.nextDouble() < 0.1 ? 0 : 0.5 + random.nextDouble();
                solver.price[r][l] = 2 + random.nextDouble();
                solver.priceAcross[r][l] = l < lines - 1 ? 0.5 + random.nextDouble() : 0;
            }
        }
        solver.factor();
        solver.solve(20_000);
        double[][] v = solver.value;
        double[][] bend = solver.duals()[0];
        double[][] across = solver.duals()[1];
        double objective = 0;
        double gap = 0;
        int compared = 0;
        for (int r = 0; r < rows; r++) {
            for (int l = 0; l < lines; l++) {
                double residual = solver.measured[r][l] - v[r][l];
                objective += solver.weight[r][l] * residual * residual / 2;
                // Balance: w (v - d) + K'y = 0.
                double pull = solver.weight[r][l] * residual;
                for (int k = Math.max(1, r - 1); k <= Math.min(rows - 2, r + 1); k++) {
                    pull -= bend[k][l] * (k == r ? -2 : 1);
                }
                for (int k = Math.max(0, r - 1); k <= Math.min(rows - 2, r); k++) {
                    double sign = k == r ? -1 : 1;
                    pull -= l > 0 ? sign * across[k][l - 1] : 0;
                    pull += l < lines - 1 ? sign * across[k][l] : 0;
                }
                assertEquals(0, pull, 1e-6);
                if (r > 0 && r < rows - 1) {
                    double d2 = v[r - 1][l] - 2 * v[r][l] + v[r + 1][l];
                    assertTrue(Math.abs(bend[r][l]) <= solver.price[r][l] + 1e-12);
                    objective += solver.price[r][l] * Math.abs(d2);
                    gap += solver.price[r][l] * Math.abs(d2) - bend[r][l] * d2;
                }
                if (r < rows - 1 && l < lines - 1) {
                    double dx = v[r + 1][l + 1] - v[r][l + 1] - v[r + 1][l] + v[r][l];
                    assertTrue(Math.abs(across[r][l]) <= solver.priceAcross[r][l] + 1e-12);
                    objective += solver.priceAcross[r][l] * Math.abs(dx);
                    gap += solver.priceAcross[r][l] * Math.abs(dx) - across[r][l] * dx;
                }
                compared++;
            }
        }
        assertEquals(lines * rows, compared);
        assertEquals(0, gap, 1e-6 * objective);
    }

    /** A soft layer: sharper than a line fit of like noise, and the noise is lower. */
    @Test
    void keepsEdgesAndEvenness() {
        ErrorCorrelation errors = new ErrorCorrelation(ErrorCorrelation.Shape.GAUSSIAN, 2.1e-3);
        FieldLayout layout = Fields.layout(60, 200, SPACING, errors);
        DisplacementField field = Fields.known(layout);
        Arrays.fill(field.axialDeviation(), 0.4e-6f);
        for (int i = 0; i < layout.planeSize(); i++) {
            int r = i % 200;
            field.axial()[i] =
                    (float) (-SPACING * (0.004 * r + 0.004 * Math.max(0, Math.min(40, r - 80))));
        }
        Draws.addErrors(field, 3);
        StrainImage own =
                Fields.estimate(new TotalVariationProvider(), TotalVariationConfig.DEFAULTS, field);
        StrainImage line =
                Fields.estimate(
                        new LeastSquaresLineProvider(), LeastSquaresLineConfig.DEFAULTS, field);
        double ownError = 0;
        double lineError = 0;
        double ownEdge = 0;
        double lineEdge = 0;
        for (int l = 5; l < 55; l++) {
            for (int r = 20; r < 60; r++) {
                ownError += Math.pow(own.axial()[l * 200 + r] + 0.004, 2);
                lineError += Math.pow(line.axial()[l * 200 + r] + 0.004, 2);
            }
            // One to three rows within the layer, at either edge.
            for (int r : new int[] {81, 82, 83, 117, 118, 119}) {
                ownEdge += Math.abs(own.axial()[l * 200 + r] + 0.008);
                lineEdge += Math.abs(line.axial()[l * 200 + r] + 0.008);
            }
        }
        assertTrue(ownError < lineError / 9, Math.sqrt(lineError / ownError) + " times");
        assertTrue(ownEdge < lineEdge / 1.5, lineEdge / ownEdge + " times");
    }

    /**
     * A sharp step is the same from 60 % to 160 % of the size that the resolution is stated for.
     */
    @Test
    void resolutionHoldsForSharpSteps() {
        FieldLayout layout = Fields.layout(1, 161, SPACING, ErrorCorrelation.INDEPENDENT);
        TotalVariationProvider provider = new TotalVariationProvider();
        double resolution =
                Fields.create(provider, TotalVariationConfig.DEFAULTS, layout)
                        .layout()
                        .resolution();
        for (double deviations : new double[] {6, 10, 16}) {
            DisplacementField field = Fields.known(layout);
            double size = deviations * 1e-6 / 1e-3;
            for (int r = 0; r < 161; r++) {
                field.axial()[r] = (float) (size * SPACING * Math.max(0, r - 80.3));
            }
            StrainImage image = Fields.estimate(provider, TotalVariationConfig.DEFAULTS, field);
            int ten = 0;
            while (image.axial()[ten] / size < 0.1 || Float.isNaN(image.axial()[ten])) {
                ten++;
            }
            int ninety = ten;
            while (image.axial()[ninety] / size < 0.9) {
                ninety++;
            }
            assertEquals(resolution / SPACING, ninety - ten, 1.5, deviations + " deviations");
        }
    }
}
