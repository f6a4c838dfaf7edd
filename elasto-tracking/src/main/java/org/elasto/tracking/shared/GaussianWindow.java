package org.elasto.tracking.shared;

import java.util.Arrays;

/**
 * A Gaussian window, cut off at three standard deviations, as the taps of a symmetric filter along
 * a line or across lines. Immutable and thread-safe.
 */
public final class GaussianWindow {

    private static final double CUT_OFF = 3;

    private final float[] taps;
    private final double deviation;

    /**
     * A window by its equivalent length, that of a rectangular window that averages as much.
     *
     * @param equivalentLength length in samples; 0 for a single tap
     * @param most greatest half-width in samples
     * @return the window
     */
    public static GaussianWindow ofLength(double equivalentLength, int most) {
        return new GaussianWindow(equivalentLength / (2 * Math.sqrt(Math.PI)), most);
    }

    /**
     * Makes a window.
     *
     * @param deviation standard deviation in samples; a window narrower than a third of a sample is
     *     a single tap
     * @param most greatest half-width in samples
     */
    public GaussianWindow(double deviation, int most) {
        this.deviation = deviation;
        int half = (int) Math.max(0, Math.min(most, Math.ceil(CUT_OFF * deviation)));
        taps = new float[half + 1];
        double sum = 0;
        double[] w = new double[half + 1];
        for (int j = 0; j <= half; j++) {
            w[j] = deviation > 0 ? Math.exp(-0.5 * (j / deviation) * (j / deviation)) : 1;
            sum += j == 0 ? w[j] : 2 * w[j];
        }
        for (int j = 0; j <= half; j++) {
            taps[j] = (float) (w[j] / sum);
        }
    }

    /**
     * Standard deviation, before the cut-off.
     *
     * @return deviation in samples
     */
    public double deviation() {
        return deviation;
    }

    /**
     * Samples on either side of the middle one.
     *
     * @return half-width
     */
    public int halfWidth() {
        return taps.length - 1;
    }

    /**
     * Weight at a distance.
     *
     * @param distance distance from the middle in samples
     * @return weight; all together sum to 1
     */
    public float tap(int distance) {
        int d = Math.abs(distance);
        return d < taps.length ? taps[d] : 0f;
    }

    /**
     * Equivalent length: that of a rectangular window that averages as much.
     *
     * @return (sum of w)&sup2; / sum of w&sup2;, in samples
     */
    public double equivalentLength() {
        double squares = 0;
        for (int j = 0; j < taps.length; j++) {
            squares += (j == 0 ? 1 : 2) * (double) taps[j] * taps[j];
        }
        return 1 / squares;
    }

    /**
     * Correlation of the window with itself.
     *
     * @param distance shift in samples
     * @return sum of w(n) w(n + distance)
     */
    public double autocorrelation(int distance) {
        double sum = 0;
        for (int j = -halfWidth(); j <= halfWidth(); j++) {
            sum += (double) tap(j) * tap(j + distance);
        }
        return sum;
    }

    /**
     * How much less a window averages near the ends of a row, where part of it lies outside.
     *
     * @param n elements of the row
     * @return for each, the standard deviation of a mean of white noise there over that far from
     *     the ends
     */
    public float[] endFactors(int n) {
        float[] factors = new float[n];
        for (int i = 0; i < n; i++) {
            double sum = 0;
            double squares = 0;
            for (int k = Math.max(0, i - halfWidth()); k <= Math.min(n - 1, i + halfWidth()); k++) {
                double w = tap(k - i);
                sum += w;
                squares += w * w;
            }
            factors[i] = (float) Math.sqrt(squares / (sum * sum) * equivalentLength());
        }
        return factors;
    }

    /**
     * How far the middle of a window's weights lies from its own place near the ends of a row,
     * where part of it lies outside.
     *
     * @param n elements of the row
     * @return for each, the distance in elements; positive near the first one
     */
    public float[] endShifts(int n) {
        float[] shifts = new float[n];
        for (int i = 0; i < n; i++) {
            double sum = 0;
            double moment = 0;
            for (int j = Math.max(-i, -halfWidth()); j <= Math.min(n - 1 - i, halfWidth()); j++) {
                sum += tap(j);
                moment += j * tap(j);
            }
            shifts[i] = (float) (moment / sum);
        }
        return shifts;
    }

    /**
     * Smooths a line. The line needs a margin of {@link #halfWidth} elements on either side.
     *
     * @param in the line
     * @param inAt index of its first element behind the margin
     * @param out receives the smoothed line
     * @param outAt index of its first element
     * @param n elements
     */
    public void smooth(float[] in, int inAt, float[] out, int outAt, int n) {
        float middle = taps[0];
        for (int k = 0; k < n; k++) {
            out[outAt + k] = middle * in[inAt + k];
        }
        for (int j = 1; j < taps.length; j++) {
            addPair(in, inAt - j, inAt + j, taps[j], out, outAt, n);
        }
    }

    /**
     * Smooths across lines: the weighted sum of a line and its neighbours, those beyond the first
     * and last line left out.
     *
     * @param plane line after line
     * @param stride distance between lines
     * @param lines number of lines
     * @param line the middle line
     * @param n elements of a line
     * @param out receives the sum
     * @return sum of the weights that were used, 1 away from the edges
     */
    public float smoothAcross(float[] plane, int stride, int lines, int line, int n, float[] out) {
        Arrays.fill(out, 0, n, 0f);
        float weights = 0;
        int half = halfWidth();
        for (int m = Math.max(0, line - half); m <= Math.min(lines - 1, line + half); m++) {
            float w = tap(m - line);
            weights += w;
            add(plane, m * stride, w, out, n);
        }
        return weights;
    }

    /**
     * Where the middle of a plane's energy lies across the lines.
     *
     * @param plane energy, line after line
     * @param stride distance between lines
     * @param lines number of lines
     * @param line the middle line
     * @param n elements of a line
     * @param out receives the sum of energy times distance from the middle line, less what an even
     *     energy would give where the window reaches beyond the scan
     * @param sums the sum of energy, as by {@link #smoothAcross}
     */
    public void momentAcross(
            float[] plane, int stride, int lines, int line, int n, float[] out, float[] sums) {
        Arrays.fill(out, 0, n, 0f);
        float weights = 0;
        float moment = 0;
        int half = halfWidth();
        for (int m = Math.max(0, line - half); m <= Math.min(lines - 1, line + half); m++) {
            float w = tap(m - line);
            weights += w;
            moment += w * (m - line);
            add(plane, m * stride, w * (m - line), out, n);
        }
        float even = -moment / weights;
        for (int k = 0; k < n; k++) {
            out[k] += even * sums[k];
        }
    }

    private static void addPair(
            float[] in, int before, int after, float w, float[] out, int outAt, int n) {
        for (int k = 0; k < n; k++) {
            out[outAt + k] += w * (in[before + k] + in[after + k]);
        }
    }

    private static void add(float[] in, int at, float w, float[] out, int n) {
        for (int k = 0; k < n; k++) {
            out[k] += w * in[at + k];
        }
    }
}
