package org.elasto.strain.shared;

import java.util.Arrays;

/**
 * Fits a weighted least-squares line through the window around every row of one scan line, in a
 * time that does not depend on the window's depth but for the correlation of errors.
 *
 * <p>With w = 1/s&sup2;, b = 1/s and k the row number from some origin, a fit needs the sums over
 * its window of w, wk, wk&sup2;, wu and wku, and for its variance the double sums of {@code b[i]
 * b[j] r[i-j]} times 1, k[i] and k[i] k[j]. All of them slide from row to row: one row leaves, one
 * enters. What a row shares with those above and below it in the double sums is prepared for the
 * whole line by two short convolutions; since no correlation reaches further than the window is
 * long, it is the same for every window that the row leaves or enters.
 *
 * <p>Sums that slide lose digits. They are made anew every few windows and as soon as most of their
 * weight has left them, so that far or heavy rows cannot be felt.
 *
 * <p>Workspace of one worker; a call allocates nothing.
 */
public final class SlidingLine {

    /** The sums are made anew when their weight has fallen below this part of its peak. */
    private static final double DEPLETED = 1e-5;

    private final RowWindow window;
    private final int rows;

    /** Zeros above and below the line, so that no window needs a bounds check. */
    private final int margin;

    private final int renewal;
    private final double[] b;
    private final double[] w;
    private final double[] wu;
    private final double[] match;

    /** What a row adds to the double sums by entering below all others of a window. */
    private final double[] entering;

    private final double[] enteringLag;

    /** What a row takes from the double sums by leaving above all others of a window. */
    private final double[] leaving;

    private final double[] leavingLag;
    private final double[] shifted;

    // The sums of a window that were made anew.
    private double known;
    private double matchSum;
    private double s0;
    private double s1;
    private double s2;
    private double t0;
    private double t1;
    private double a0;
    private double a1;
    private double a2;

    /**
     * Makes the workspace of one worker.
     *
     * @param window the window
     * @param rows rows of a line
     */
    public SlidingLine(RowWindow window, int rows) {
        this.window = window;
        this.rows = rows;
        margin = window.length();
        renewal = 4 * window.length();
        int size = rows + 2 * margin;
        b = new double[size];
        w = new double[size];
        wu = new double[size];
        match = new double[size];
        shifted = new double[size];
        entering = new double[size];
        enteringLag = new double[size];
        leaving = new double[size];
        leavingLag = new double[size];
    }

    /**
     * Fits all windows of a line.
     *
     * @param displacement displacements (m)
     * @param deviation their predicted deviations (m)
     * @param correlation match correlations
     * @param offset where the line begins in these arrays
     * @param slope receives the slopes, NaN where unknown
     * @param slopeDeviation receives their predicted deviations; null if not wanted
     * @param meanMatch receives the mean correlation of the window's known rows, 0 where the slope
     *     is unknown; null if not wanted
     * @param to where the line begins in the first two outputs; the third begins at 0
     */
    public void fit(
            float[] displacement,
            float[] deviation,
            float[] correlation,
            int offset,
            float[] slope,
            float[] slopeDeviation,
            float[] meanMatch,
            int to) {
        load(displacement, deviation, correlation, offset);
        boolean predicts = slopeDeviation != null;
        if (predicts) {
            prepareDoubleSums();
        }
        slide(predicts, slope, slopeDeviation, meanMatch, to);
    }

    private void slide(
            boolean predicts, float[] slope, float[] slopeDeviation, float[] meanMatch, int to) {
        int half = window.half();
        double needed = window.needed();
        double spacing = window.spacing();
        int origin = 0;
        double peak = 0;
        // Locals, so that the sums stay in registers from row to row.
        double n = 0;
        double m = 0;
        double p0 = 0;
        double p1 = 0;
        double p2 = 0;
        double q0 = 0;
        double q1 = 0;
        double v0 = 0;
        double v1 = 0;
        double v2 = 0;
        for (int row = 0; row < rows; row++) {
            boolean anew = row % renewal == 0;
            if (!anew) {
                int i = margin + row + half;
                double k = row + half - origin;
                int o = i - 2 * half - 1;
                double ko = k - 2 * half - 1;
                n += known(w[i]) - known(w[o]);
                m += match[i] - match[o];
                p0 += w[i] - w[o];
                p1 += k * w[i] - ko * w[o];
                p2 += k * k * w[i] - ko * ko * w[o];
                q0 += wu[i] - wu[o];
                q1 += k * wu[i] - ko * wu[o];
                double e = k * entering[i];
                double l = ko * leaving[o];
                v0 += entering[i] - leaving[o];
                v1 += e - enteringLag[i] - (l + leavingLag[o]);
                v2 += k * (e - 2 * enteringLag[i]) - ko * (l + 2 * leavingLag[o]);
                peak = Math.max(peak, p0);
                anew = p0 < DEPLETED * peak;
            }
            if (anew) {
                renew(row, predicts);
                origin = row;
                n = known;
                m = matchSum;
                p0 = s0;
                p1 = s1;
                p2 = s2;
                q0 = t0;
                q1 = t1;
                v0 = a0;
                v1 = a1;
                v2 = a2;
                peak = p0;
            }
            boolean enough = n >= needed;
            double middle = p1 / p0;
            double scale = 1 / ((p2 - middle * p1) * spacing);
            slope[to + row] = enough ? (float) ((q1 - middle * q0) * scale) : Float.NaN;
            if (predicts) {
                double form = Math.max(0, v2 + middle * (middle * v0 - 2 * v1));
                slopeDeviation[to + row] = enough ? (float) (Math.sqrt(form) * scale) : Float.NaN;
            }
            if (meanMatch != null) {
                meanMatch[row] = enough ? (float) (m / n) : 0;
            }
        }
    }

    private static double known(double weight) {
        return weight > 0 ? 1 : 0;
    }

    private void load(float[] displacement, float[] deviation, float[] correlation, int offset) {
        for (int r = 0; r < rows; r++) {
            float d = displacement[offset + r];
            float c = correlation[offset + r];
            double x = Precision.of(d, deviation[offset + r], c);
            b[margin + r] = x;
            w[margin + r] = x * x;
            wu[margin + r] = x > 0 ? x * x * d : 0;
            match[margin + r] = x > 0 ? c : 0;
        }
    }

    private void prepareDoubleSums() {
        Arrays.fill(entering, 0);
        Arrays.fill(enteringLag, 0);
        Arrays.fill(leaving, 0);
        Arrays.fill(leavingLag, 0);
        double[] lags = window.errors();
        for (int d = 1; d <= lags.length; d++) {
            accumulate(b, margin - d, lags[d - 1], d * lags[d - 1], entering, enteringLag);
            accumulate(b, margin + d, lags[d - 1], d * lags[d - 1], leaving, leavingLag);
        }
        complete(entering, enteringLag);
        complete(leaving, leavingLag);
    }

    private void complete(double[] sum, double[] lagSum) {
        for (int i = margin; i < margin + rows; i++) {
            sum[i] = b[i] * (b[i] + 2 * sum[i]);
            lagSum[i] *= b[i];
        }
    }

    private void accumulate(
            double[] x, int from, double tap, double lagTap, double[] sum, double[] lagSum) {
        // The compiler works on several rows at once only where all indices run alike.
        double[] y = shifted;
        System.arraycopy(x, from, y, margin, rows);
        for (int i = margin; i < margin + rows; i++) {
            sum[i] += tap * y[i];
            lagSum[i] += lagTap * y[i];
        }
    }

    /** Makes all sums of the window around a row anew, with row numbers from there. */
    private void renew(int row, boolean predicts) {
        known = matchSum = s0 = s1 = s2 = t0 = t1 = a0 = a1 = a2 = 0;
        double[] lags = window.errors();
        int half = window.half();
        for (int k = -half; k <= half; k++) {
            int i = margin + row + k;
            known += known(w[i]);
            matchSum += match[i];
            s0 += w[i];
            s1 += k * w[i];
            s2 += k * (k * w[i]);
            t0 += wu[i];
            t1 += k * wu[i];
            if (predicts) {
                double x = b[i];
                double sum = 0;
                double lagSum = 0;
                for (int d = 1; d <= Math.min(lags.length, k + half); d++) {
                    sum += lags[d - 1] * b[i - d];
                    lagSum += d * lags[d - 1] * b[i - d];
                }
                double p = x * (x + 2 * sum);
                a0 += p;
                a1 += k * p - x * lagSum;
                a2 += k * (k * p - 2 * x * lagSum);
            }
        }
    }
}
