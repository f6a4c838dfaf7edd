package org.elasto.strain.smoothing;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.strain.shared.BlockSlopes;
import org.elasto.strain.shared.PolynomialFit;
import org.elasto.strain.shared.Precision;
import org.elasto.strain.shared.RowWindow;

/**
 * Smooths displacement by a polynomial across the lines, row by row. What is unknown stays unknown;
 * where too few lines around a place are known it stays as it is.
 */
final class SmoothingAcross {

    private final int lines;
    private final int rows;

    /** Lines to either side for each row, 0 where there are too few; never grows with depth. */
    private final int[] half;

    /** Lines that must be known for each row. */
    private final int[] needed;

    /** Correlation of errors by lines apart, 0 first. */
    private final double[] errors;

    private final double[] known;
    private final double[] input;
    private final double[] inputDeviation;
    private final float[] displacement;
    private final float[] deviation;
    private final Scratch[] scratch;
    private final Workers workers;
    private final Workers.Task prepare = (line, worker) -> prepareLine(line);
    private final Workers.Task smooth = this::smoothLine;
    private DisplacementField field;

    /** What one worker needs. */
    private static final class Scratch {
        final PolynomialFit fit;
        final int[] at;
        final double[] weights;
        final double[] count;
        final double[] sum;
        final double[] variance;
        final double[] x;
        final double[] y;

        Scratch(int most, int order, int rows) {
            fit = new PolynomialFit(most, order, Math.max(1, most / 2), null);
            at = new int[most];
            weights = new double[most];
            count = new double[rows];
            sum = new double[rows];
            variance = new double[rows];
            x = new double[rows];
            y = new double[rows];
        }
    }

    SmoothingAcross(
            double width, int order, double usableShare, FieldLayout layout, Workers workers) {
        this.workers = workers;
        ScanGeometry geometry = layout.geometry();
        lines = geometry.lines();
        rows = layout.grid().rows();
        half = new int[rows];
        needed = new int[rows];
        for (int r = 0; r < rows; r++) {
            double spacing = geometry.lineSpacing(layout.grid().depth(r));
            half[r] = BlockSlopes.halfWidth(width, spacing, lines);
            needed[r] = Math.max(order + 1, RowWindow.needed(2 * half[r] + 1, usableShare));
            // No more lines than the polynomial has coefficients: nothing would be smoothed.
            half[r] = needed[r] > Math.min(lines, 2 * half[r] + 1) ? 0 : half[r];
        }
        int most = 2 * half[0] + 1;
        double pitch = geometry.lineSpacing((geometry.firstDepth() + geometry.lastDepth()) / 2);
        errors = new double[most];
        for (int k = 0; k < most; k++) {
            errors[k] = layout.lateralErrors().at(k * pitch);
        }
        int size = layout.planeSize();
        known = new double[size];
        input = new double[size];
        inputDeviation = new double[size];
        displacement = new float[size];
        deviation = new float[size];
        scratch = new Scratch[workers.count()];
        for (int i = 0; i < scratch.length; i++) {
            scratch[i] = new Scratch(most, order, rows);
        }
    }

    void smooth(DisplacementField newField) {
        field = newField;
        try {
            workers.run(lines, prepare);
            workers.run(lines, smooth);
        } finally {
            field = null;
        }
    }

    float[] displacement() {
        return displacement;
    }

    float[] deviation() {
        return deviation;
    }

    private void prepareLine(int line) {
        float[] u = field.axial();
        float[] s = field.axialDeviation();
        float[] match = field.correlation();
        for (int i = line * rows; i < (line + 1) * rows; i++) {
            double b = Precision.of(u[i], s[i], match[i]);
            known[i] = b > 0 ? 1 : 0;
            input[i] = b > 0 ? u[i] : 0;
            inputDeviation[i] = b > 0 ? 1 / b : 0;
            displacement[i] = b > 0 ? u[i] : Float.NaN;
            deviation[i] = b > 0 ? (float) (1 / b) : Float.NaN;
        }
    }

    /** Stretches of rows whose windows have as many lines. */
    private void smoothLine(int line, int worker) {
        int begin = 0;
        while (begin < rows && half[begin] > 0) {
            int end = begin + 1;
            while (end < rows && half[end] == half[begin]) {
                end++;
            }
            smoothStretch(line, begin, end, scratch[worker]);
            begin = end;
        }
    }

    private void smoothStretch(int line, int begin, int end, Scratch work) {
        int first = Math.max(0, line - half[begin]);
        int last = Math.min(lines - 1, line + half[begin]);
        int n = last - first + 1;
        count(first, last, begin, end, work);
        if (n >= needed[begin]) {
            for (int i = 0; i < n; i++) {
                work.at[i] = first + i - line;
            }
            if (work.fit.solve(n, work.at, null, 0, work.weights)) {
                combine(first, n, begin, end, work);
            } else {
                n = lines + 1;
            }
        }
        for (int r = begin; r < end; r++) {
            int at = line * rows + r;
            if (known[at] > 0 && work.count[r] >= needed[r]) {
                if (work.count[r] == n) {
                    displacement[at] = (float) work.sum[r];
                    deviation[at] = (float) Math.sqrt(Math.max(0, work.variance[r]));
                } else {
                    smoothOne(line, r, first, last, work);
                }
            }
        }
    }

    private void count(int first, int last, int begin, int end, Scratch work) {
        double[] count = work.count;
        double[] x = work.x;
        Arrays.fill(count, begin, end, 0);
        for (int other = first; other <= last; other++) {
            System.arraycopy(known, other * rows + begin, x, begin, end - begin);
            for (int r = begin; r < end; r++) {
                count[r] += x[r];
            }
        }
    }

    /** Weighted sums of whole rows, and their variance. */
    private void combine(int first, int n, int begin, int end, Scratch work) {
        double[] sum = work.sum;
        double[] variance = work.variance;
        double[] x = work.x;
        double[] y = work.y;
        Arrays.fill(sum, begin, end, 0);
        Arrays.fill(variance, begin, end, 0);
        for (int i = 0; i < n; i++) {
            double tap = work.weights[i];
            int from = (first + i) * rows + begin;
            System.arraycopy(input, from, x, begin, end - begin);
            for (int r = begin; r < end; r++) {
                sum[r] += tap * x[r];
            }
            System.arraycopy(inputDeviation, from, x, begin, end - begin);
            for (int j = 0; j <= i; j++) {
                double pair = (j < i ? 2 : 1) * tap * work.weights[j] * errors[i - j];
                if (pair != 0) {
                    System.arraycopy(
                            inputDeviation, (first + j) * rows + begin, y, begin, end - begin);
                    for (int r = begin; r < end; r++) {
                        variance[r] += pair * x[r] * y[r];
                    }
                }
            }
        }
    }

    /** A place with unknown lines beside it. */
    private void smoothOne(int line, int row, int first, int last, Scratch work) {
        int n = 0;
        for (int other = first; other <= last; other++) {
            if (known[other * rows + row] > 0) {
                work.at[n++] = other - line;
            }
        }
        // As many lines as coefficients at least, all different: there is a solution.
        if (!work.fit.solve(n, work.at, null, 0, work.weights)) {
            return;
        }
        double sum = 0;
        double variance = 0;
        for (int i = 0; i < n; i++) {
            int from = (line + work.at[i]) * rows + row;
            sum += work.weights[i] * input[from];
            for (int j = 0; j < n; j++) {
                int other = (line + work.at[j]) * rows + row;
                variance +=
                        work.weights[i]
                                * work.weights[j]
                                * inputDeviation[from]
                                * inputDeviation[other]
                                * errors[Math.abs(work.at[i] - work.at[j])];
            }
        }
        displacement[line * rows + row] = (float) sum;
        deviation[line * rows + row] = (float) Math.sqrt(Math.max(0, variance));
    }
}
