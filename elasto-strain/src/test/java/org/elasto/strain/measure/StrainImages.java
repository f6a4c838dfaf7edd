package org.elasto.strain.measure;

import java.util.Arrays;
import java.util.Random;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.strain.leastsquares.LeastSquaresLineConfig;
import org.elasto.strain.leastsquares.LeastSquaresLineProvider;

/** Made-up strain for the tests. */
final class StrainImages {

    static final double PITCH = 0.3e-3;

    private StrainImages() {}

    /** A value at a place. */
    @FunctionalInterface
    interface Formula {
        double at(double x, double z);
    }

    static ScanGeometry linear(int lines) {
        return ScanGeometry.linear(lines, 2400, 40e6, 7.5e6, 1540, 0, PITCH, 50);
    }

    static ScanGeometry convex(int lines) {
        return ScanGeometry.convex(lines, 3000, 40e6, 3.5e6, 1540, 0, 40e-3, 0.0075, 30);
    }

    static FieldLayout field(ScanGeometry geometry, RowGrid grid) {
        return new FieldLayout(
                geometry,
                grid,
                false,
                new ErrorCorrelation(ErrorCorrelation.Shape.GAUSSIAN, 2e-3),
                new ErrorCorrelation(ErrorCorrelation.Shape.GAUSSIAN, 1.2e-3));
    }

    /** Everything trusted, with a predicted deviation of 0.1 %. */
    static StrainImage image(ScanGeometry geometry, RowGrid grid, Formula strain) {
        StrainImage image = new StrainImage(new StrainLayout(geometry, grid, false, 1.5e-3));
        for (int line = 0; line < geometry.lines(); line++) {
            for (int row = 0; row < grid.rows(); row++) {
                double depth = grid.depth(row);
                image.axial()[line * grid.rows() + row] =
                        (float) strain.at(geometry.x(line, depth), geometry.z(line, depth));
            }
        }
        Arrays.fill(image.axialDeviation(), 1e-3f);
        Arrays.fill(image.trusted(), true);
        return image;
    }

    /**
     * Errors of unit deviation, correlated along and across the lines as {@link #field} states:
     * white noise under Gaussian windows, whose equivalent length is 2 sqrt(pi) deviations.
     */
    static float[] errors(FieldLayout layout, Random random) {
        int lines = layout.geometry().lines();
        int rows = layout.grid().rows();
        double[] down = window(layout.axialErrors().length() / layout.grid().spacing());
        double[] across = window(layout.lateralErrors().length() / PITCH);
        int moreRows = rows + down.length - 1;
        double[][] white = new double[lines + across.length - 1][moreRows];
        for (double[] line : white) {
            for (int i = 0; i < moreRows; i++) {
                line[i] = random.nextGaussian();
            }
        }
        float[] result = new float[lines * rows];
        double[] sum = new double[moreRows];
        for (int line = 0; line < lines; line++) {
            Arrays.fill(sum, 0);
            for (int k = 0; k < across.length; k++) {
                for (int i = 0; i < moreRows; i++) {
                    sum[i] += across[k] * white[line + k][i];
                }
            }
            for (int row = 0; row < rows; row++) {
                double error = 0;
                for (int k = 0; k < down.length; k++) {
                    error += down[k] * sum[row + k];
                }
                result[line * rows + row] = (float) error;
            }
        }
        return result;
    }

    private static double[] window(double equivalentLength) {
        double deviation = equivalentLength / (2 * Math.sqrt(Math.PI));
        int half = (int) Math.ceil(4 * deviation);
        double[] window = new double[2 * half + 1];
        double squares = 0;
        for (int k = -half; k <= half; k++) {
            window[half + k] = Math.exp(-0.5 * k * k / (deviation * deviation));
            squares += window[half + k] * window[half + k];
        }
        for (int k = 0; k < window.length; k++) {
            window[k] /= Math.sqrt(squares);
        }
        return window;
    }

    static StrainEstimator estimator(FieldLayout layout) {
        return new LeastSquaresLineProvider()
                .create(
                        new LeastSquaresLineConfig(2.4e-3, 0.75, 0, 1, 2.4e-3, 0),
                        layout,
                        Workers.sequential());
    }

    /** A field of a displacement that claims a deviation, with errors of another. */
    static DisplacementField displaced(
            FieldLayout layout, float[] truth, double deviation, double claimed, Random random) {
        DisplacementField field = new DisplacementField(layout);
        float[] errors = errors(layout, random);
        for (int i = 0; i < truth.length; i++) {
            field.axial()[i] = (float) (truth[i] + deviation * errors[i]);
        }
        Arrays.fill(field.axialDeviation(), (float) claimed);
        Arrays.fill(field.correlation(), 0.98f);
        return field;
    }
}
