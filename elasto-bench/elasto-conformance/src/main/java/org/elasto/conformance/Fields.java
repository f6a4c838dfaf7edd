package org.elasto.conformance;

import java.util.Arrays;
import java.util.Random;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;

/** Displacement fields made up by formula, with errors that go together as a layout states. */
final class Fields {

    private Fields() {}

    /** Axial and lateral displacement at a place: line position x and depth z (m). */
    @FunctionalInterface
    interface Formula {
        double at(double x, double z);
    }

    static DisplacementField field(
            FieldLayout layout, Formula axial, Formula lateral, double deviation) {
        DisplacementField field = new DisplacementField(layout);
        Arrays.fill(field.correlation(), 0.98f);
        Arrays.fill(field.axialDeviation(), (float) deviation);
        RowGrid grid = layout.grid();
        for (int line = 0; line < field.lines(); line++) {
            for (int row = 0; row < field.rows(); row++) {
                int at = line * field.rows() + row;
                double z = grid.depth(row);
                double x = layout.geometry().x(line, z);
                field.axial()[at] = (float) axial.at(x, z);
                if (field.lateral() != null) {
                    field.lateral()[at] = (float) lateral.at(x, z);
                    field.lateralDeviation()[at] = (float) (10 * deviation);
                }
            }
        }
        return field;
    }

    /** Lets all places forget with a probability. */
    static void forget(DisplacementField field, double share, long seed) {
        Random random = new Random(seed);
        for (int i = 0; i < field.axial().length; i++) {
            if (random.nextDouble() < share) {
                field.markUnknown(i);
            }
        }
    }

    /**
     * Adds Gaussian errors: those of a line go together as the layout states, those of different
     * lines are independent, and each is as large as its predicted deviation says.
     */
    static void addErrors(DisplacementField field, long seed) {
        Random random = new Random(seed);
        double[] kernel = kernel(field.layout().axialErrors(), field.layout().grid().spacing());
        int rows = field.rows();
        double[] white = new double[rows + kernel.length - 1];
        for (int line = 0; line < field.lines(); line++) {
            for (int i = 0; i < white.length; i++) {
                white[i] = random.nextGaussian();
            }
            for (int row = 0; row < rows; row++) {
                double error = 0;
                for (int k = 0; k < kernel.length; k++) {
                    error += kernel[k] * white[row + k];
                }
                int at = line * rows + row;
                field.axial()[at] += (float) (error * field.axialDeviation()[at]);
            }
        }
    }

    /**
     * Weights, of unit sum of squares, whose correlation with themselves is the one stated: a
     * rectangle gives a triangle, a Gaussian a Gaussian.
     */
    private static double[] kernel(ErrorCorrelation errors, double spacing) {
        double length = errors.length() / spacing;
        double[] kernel;
        if (errors.shape() == ErrorCorrelation.Shape.TRIANGULAR) {
            kernel = new double[Math.max(1, (int) Math.round(length))];
            Arrays.fill(kernel, 1);
        } else {
            double deviation = length / (2 * Math.sqrt(Math.PI));
            int half = (int) Math.ceil(4 * deviation);
            kernel = new double[2 * half + 1];
            for (int k = -half; k <= half; k++) {
                double d = deviation > 0 ? k / deviation : 0;
                kernel[half + k] = Math.exp(-0.5 * d * d);
            }
        }
        double squares = 0;
        for (double k : kernel) {
            squares += k * k;
        }
        for (int k = 0; k < kernel.length; k++) {
            kernel[k] /= Math.sqrt(squares);
        }
        return kernel;
    }
}
