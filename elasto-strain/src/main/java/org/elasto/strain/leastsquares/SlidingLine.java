package org.elasto.strain.leastsquares;

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
final class SlidingLine {

    /** Deviations are taken as no smaller than this (m). */
    private static final double SMALLEST_DEVIATION = 1e-9;

    /** A larger deviation (m) says that nothing is known. */
    private static final float LARGEST_DEVIATION = 1e-4f;

    /** The sums are made anew when their weight has fallen below this part of its peak. */
    private static final double DEPLETED = 1e-5;

    private final RowWindow window;
    private final int rows;

    /** Zeros above and below the line, so that no window needs a bounds check. */
    private final int margin;

    private final int renewal;
    private final double[] u;
    private final double[] b;
    private final double[] match;

    /** What a row adds to the double sums by entering below all others of a window. */
    private final double[] entering;

    private final double[] enteringLag;

    /** What a row takes from the double sums by leaving above all others of a window. */
    private final double[] leaving;

    private final double[] leavingLag;

    private int origin;
    private int known;
    private double matchSum;
    private double s0;
    private double s1;
    private double s2;
    private double t0;
    private double t1;
    private double a0;
    private double a1;
    private double a2;

    SlidingLine(RowWindow window, int rows) {
        this.window = window;
        this.rows = rows;
        margin = window.length();
        renewal = 4 * window.length();
        int size = rows + 2 * margin;
        u = new double[size];
        b = new double[size];
        match = new double[size];
        entering = new double[size];
        enteringLag = new double[size];
        leaving = new double[size];
        leavingLag = new double[size];
    }

    /** 1/s of a displacement of deviation s, or 0 if the displacement counts as unknown. */
    static double precision(float displacement, float deviation, float correlation) {
        boolean usable =
                correlation > 0
                        && deviation >= 0
                        && deviation <= LARGEST_DEVIATION
                        && Math.abs(displacement) <= Float.MAX_VALUE;
        return usable ? 1 / Math.max(deviation, SMALLEST_DEVIATION) : 0;
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
    void fit(
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
        int half = window.half();
        int needed = window.needed();
        double spacing = window.spacing();
        double peak = 0;
        for (int n = 0; n < rows; n++) {
            if (n % renewal == 0) {
                renew(n, predicts);
                peak = s0;
            } else {
                leave(n - 1 - half);
                enter(n + half);
                if (s0 > peak) {
                    peak = s0;
                } else if (s0 < DEPLETED * peak) {
                    renew(n, predicts);
                    peak = s0;
                }
            }
            float e = Float.NaN;
            float se = Float.NaN;
            float m = 0;
            if (known >= needed) {
                double middle = s1 / s0;
                double scale = 1 / ((s2 - middle * s1) * spacing);
                e = (float) ((t1 - middle * t0) * scale);
                double form = a2 + middle * (middle * a0 - 2 * a1);
                se = (float) (Math.sqrt(Math.max(0, form)) * scale);
                m = (float) (matchSum / known);
            }
            slope[to + n] = e;
            if (predicts) {
                slopeDeviation[to + n] = se;
            }
            if (meanMatch != null) {
                meanMatch[n] = m;
            }
        }
    }

    private void load(float[] displacement, float[] deviation, float[] correlation, int offset) {
        for (int r = 0; r < rows; r++) {
            float d = displacement[offset + r];
            float c = correlation[offset + r];
            double x = precision(d, deviation[offset + r], c);
            b[margin + r] = x;
            u[margin + r] = x > 0 ? d : 0;
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
        for (int i = margin; i < margin + rows; i++) {
            double x = b[i];
            entering[i] = x * (x + 2 * entering[i]);
            enteringLag[i] *= x;
            leaving[i] = x * (x + 2 * leaving[i]);
            leavingLag[i] *= x;
        }
    }

    private void accumulate(
            double[] x, int from, double tap, double lagTap, double[] sum, double[] lagSum) {
        int first = margin;
        for (int i = 0; i < rows; i++) {
            double value = x[from + i];
            sum[first + i] += tap * value;
            lagSum[first + i] += lagTap * value;
        }
    }

    private void enter(int row) {
        int i = margin + row;
        double k = row - origin;
        double w = b[i] * b[i];
        double wu = w * u[i];
        known += w > 0 ? 1 : 0;
        matchSum += match[i];
        s0 += w;
        s1 += k * w;
        s2 += k * k * w;
        t0 += wu;
        t1 += k * wu;
        double p = k * entering[i];
        a0 += entering[i];
        a1 += p - enteringLag[i];
        a2 += k * (p - 2 * enteringLag[i]);
    }

    private void leave(int row) {
        int i = margin + row;
        double k = row - origin;
        double w = b[i] * b[i];
        double wu = w * u[i];
        known -= w > 0 ? 1 : 0;
        matchSum -= match[i];
        s0 -= w;
        s1 -= k * w;
        s2 -= k * k * w;
        t0 -= wu;
        t1 -= k * wu;
        double p = k * leaving[i];
        a0 -= leaving[i];
        a1 -= p + leavingLag[i];
        a2 -= k * (p + 2 * leavingLag[i]);
    }

    /** Makes all sums of the window around a row anew, with the origin there. */
    private void renew(int row, boolean predicts) {
        origin = row;
        known = 0;
        matchSum = s0 = s1 = s2 = t0 = t1 = a0 = a1 = a2 = 0;
        double[] lags = window.errors();
        int half = window.half();
        for (int k = -half; k <= half; k++) {
            int i = margin + row + k;
            double x = b[i];
            double w = x * x;
            double wu = w * u[i];
            known += w > 0 ? 1 : 0;
            matchSum += match[i];
            s0 += w;
            s1 += k * w;
            s2 += (double) k * k * w;
            t0 += wu;
            t1 += k * wu;
            if (predicts) {
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
