package org.elasto.strain.shared;

import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;

/**
 * Averages trusted axial strain over neighbouring lines, weighted by 1/deviation&sup2;.
 *
 * <p>How far errors on neighbouring lines go together is not known, so the predicted deviation is
 * that of errors which are alike: the mean deviation, an upper bound. What is not trusted neither
 * gives nor takes.
 */
public final class LateralAverage {

    private final Workers workers;
    private final int lines;
    private final int rows;

    /** Lines to either side for each row. */
    private final int[] half;

    private final float[] strain;
    private final float[] deviation;
    private final Workers.Task task = (line, worker) -> averageLine(line);
    private StrainImage out;

    /**
     * Makes an average.
     *
     * @param width width across the lines (m), rounded to a whole even number of line spacings
     * @param layout layout of the displacement fields
     * @param workers threads it may use
     */
    public LateralAverage(double width, FieldLayout layout, Workers workers) {
        this.workers = workers;
        lines = layout.geometry().lines();
        rows = layout.grid().rows();
        half = new int[rows];
        for (int r = 0; r < rows; r++) {
            double spacing = layout.geometry().lineSpacing(layout.grid().depth(r));
            half[r] = BlockSlopes.halfWidth(width, spacing, lines);
        }
        strain = new float[layout.planeSize()];
        deviation = new float[layout.planeSize()];
    }

    /**
     * Averages an image in place.
     *
     * @param image the image
     */
    void apply(StrainImage image) {
        System.arraycopy(image.axial(), 0, strain, 0, strain.length);
        System.arraycopy(image.axialDeviation(), 0, deviation, 0, deviation.length);
        out = image;
        try {
            workers.run(lines, task);
        } finally {
            out = null;
        }
    }

    private void averageLine(int line) {
        boolean[] trusted = out.trusted();
        for (int r = 0; r < rows; r++) {
            int cell = line * rows + r;
            if (half[r] > 0 && trusted[cell]) {
                int first = Math.max(0, line - half[r]);
                int last = Math.min(lines - 1, line + half[r]);
                averageCell(cell, first * rows + r, last * rows + r, trusted);
            }
        }
    }

    private void averageCell(int cell, int first, int last, boolean[] trusted) {
        double precision = 0;
        double weight = 0;
        double sum = 0;
        for (int i = first; i <= last; i += rows) {
            if (trusted[i]) {
                double x = 1.0 / Math.max(deviation[i], Float.MIN_NORMAL);
                precision += x;
                weight += x * x;
                sum += x * x * strain[i];
            }
        }
        out.axial()[cell] = (float) (sum / weight);
        out.axialDeviation()[cell] = (float) (precision / weight);
    }
}
