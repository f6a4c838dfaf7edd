package org.elasto.strain.shared;

import java.util.Arrays;

/**
 * Weighted least-squares lines through the windows around all places of a block of lines at once,
 * along the lines or across them.
 *
 * <p>With weights w and k the place in the window counted from its middle, a first pass takes the
 * sums of w, wk and wu, hence the means of k and of the displacement u, and a second one the sums
 * of {@code w (k - mean)²} and {@code w (k - mean) (u - mean)}. Each pass goes tap by tap over the
 * whole block, a tap being a copy of the block shifted into place: loops as short as these are what
 * HotSpot makes vector code of. In this order single precision is enough but where one place
 * outweighs all others by far; {@link #check} tells, and {@link #refit} is for these.
 *
 * <p>Workspace of one worker; a call allocates nothing.
 */
final class BlockSums {

    /**
     * Smallest variance of the places in a window, by weight, for which single precision will do:
     * as a share of that with even weights, {@code h(h+1)/3} for h places to either side.
     */
    private static final double LEAST_SHARE = 0.05;

    /** Times any weight more than 1. */
    private static final float LARGE = 1e12f;

    /** Places of a block. */
    final int size;

    /** Known places of each window. */
    final float[] known;

    /** The same where all lines that the windows touch are known as a whole. */
    private final float[] complete;

    private boolean hasComplete;

    /** Weighted mean of the place in the window. */
    final float[] mean;

    /** Sum of {@code w (k - mean)²}. */
    final float[] spread;

    /** Slope, in displacement per place. */
    final float[] slope;

    /** Mean and spread of the window that was fitted last on its own. */
    double ownMean;

    double ownSpread;

    private final float[] above;
    private final float[] below;
    private final float[] displacementAbove;
    private final float[] displacementBelow;
    private final float[] level;
    private final float[] total;
    private final float[] needed;
    private final float[] least;
    private final float[] sound;

    BlockSums(int size) {
        this.size = size;
        known = new float[size];
        complete = new float[size];
        mean = new float[size];
        spread = new float[size];
        slope = new float[size];
        above = new float[size];
        below = new float[size];
        displacementAbove = new float[size];
        displacementBelow = new float[size];
        level = new float[size];
        total = new float[size];
        needed = new float[size];
        least = new float[size];
        sound = new float[size];
    }

    /**
     * Fits all windows of a block.
     *
     * @param lines weights and displacements
     * @param line number of the block's first line
     * @param step from one place of a window to the next: 1 along the lines, the stride across them
     * @param half places to either side
     * @param reach rows that have a place so far away in their windows, by the distance
     */
    void fit(PaddedLines lines, int line, int step, int half, int[] reach) {
        int at = lines.origin + line * lines.stride;
        System.arraycopy(lines.weight, at, total, 0, size);
        System.arraycopy(lines.displacement, at, level, 0, size);
        int linesAway = step == 1 ? 0 : half;
        int last = line + size / lines.stride - 1 + linesAway;
        boolean counted = hasComplete && lines.isComplete(line - linesAway, last);
        if (counted) {
            System.arraycopy(complete, 0, known, 0, size);
        } else {
            count(known, total, size);
        }
        multiply(level, total, size);
        Arrays.fill(mean, 0);
        for (int k = 1; k <= half; k++) {
            copyTaps(lines, at, k, step, reach);
            if (!counted) {
                count(known, above, below, size);
            }
            moments(total, mean, above, below, k, size);
            products(level, displacementAbove, above, displacementBelow, below, size);
        }
        if (!hasComplete && lines.isComplete(line - linesAway, last)) {
            System.arraycopy(known, 0, complete, 0, size);
            hasComplete = true;
        }
        divide(mean, total, size);
        divide(level, total, size);
        System.arraycopy(lines.displacement, at, slope, 0, size);
        System.arraycopy(lines.weight, at, spread, 0, size);
        begin(slope, spread, mean, level, size);
        for (int k = 1; k <= half; k++) {
            copyTaps(lines, at, k, step, reach);
            weigh(above, below, spread, mean, k, size);
            products(slope, displacementAbove, above, displacementBelow, below, level, size);
        }
        divide(slope, spread, size);
    }

    /** What lies k away, with weights of 0 in rows whose windows do not reach so far. */
    private void copyTaps(PaddedLines lines, int at, int k, int step, int[] reach) {
        System.arraycopy(lines.weight, at - k * step, above, 0, size);
        System.arraycopy(lines.weight, at + k * step, below, 0, size);
        System.arraycopy(lines.displacement, at - k * step, displacementAbove, 0, size);
        System.arraycopy(lines.displacement, at + k * step, displacementBelow, 0, size);
        if (reach[k] < lines.rows) {
            for (int from = 0; from < size; from += lines.stride) {
                Arrays.fill(above, from + reach[k], from + lines.rows, 0);
                Arrays.fill(below, from + reach[k], from + lines.rows, 0);
            }
        }
    }

    /**
     * Says what the windows around a place are.
     *
     * @param place the place in the block
     * @param half places to either side
     * @param known known places that are enough
     */
    void expect(int place, int half, int known) {
        needed[place] = known;
        least[place] = (float) (LEAST_SHARE * half * (half + 1) / 3);
    }

    /**
     * Where windows have enough known places and single precision was enough.
     *
     * @return 0 or more where both hold, less or NaN elsewhere; used again
     */
    float[] check() {
        check(sound, spread, least, total, slope, size);
        atMost(sound, known, needed, size);
        return sound;
    }

    /** Whether enough of a window is known. */
    boolean knowsEnough(int place) {
        return known[place] >= needed[place];
    }

    private static void check(
            float[] out, float[] spread, float[] least, float[] total, float[] slope, int n) {
        for (int i = 0; i < n; i++) {
            // 0 times a finite value is 0, times anything else NaN.
            out[i] = spread[i] - least[i] * total[i] + 0 * slope[i];
        }
    }

    private static void atMost(float[] out, float[] known, float[] needed, int n) {
        for (int i = 0; i < n; i++) {
            out[i] = Math.min(out[i], known[i] - needed[i]);
        }
    }

    /**
     * Fits one window on its own, in double precision.
     *
     * @param lines weights and displacements
     * @param line number of the block's first line
     * @param place where in the block its middle lies
     * @param step as in {@link #fit}
     * @param half places to either side of this window
     * @return the slope, in displacement per place
     */
    double refit(PaddedLines lines, int line, int place, int step, int half) {
        int at = lines.origin + line * lines.stride + place;
        float[] w = lines.weight;
        float[] u = lines.displacement;
        double s0 = 0;
        double s1 = 0;
        double t0 = 0;
        for (int k = -half; k <= half; k++) {
            int i = at + k * step;
            s0 += w[i];
            s1 += (double) k * w[i];
            t0 += (double) w[i] * u[i];
        }
        ownMean = s1 / s0;
        ownSpread = 0;
        double t1 = 0;
        for (int k = -half; k <= half; k++) {
            int i = at + k * step;
            double x = w[i] * (k - ownMean);
            ownSpread += x * (k - ownMean);
            t1 += x * (u[i] - t0 / s0);
        }
        return t1 / ownSpread;
    }

    private static void count(float[] known, float[] w, int n) {
        for (int i = 0; i < n; i++) {
            known[i] = Math.min(1, LARGE * w[i]);
        }
    }

    private static void count(float[] known, float[] a, float[] b, int n) {
        for (int i = 0; i < n; i++) {
            known[i] += Math.min(1, LARGE * a[i]) + Math.min(1, LARGE * b[i]);
        }
    }

    private static void moments(float[] s0, float[] s1, float[] a, float[] b, float k, int n) {
        for (int i = 0; i < n; i++) {
            s0[i] += b[i] + a[i];
            s1[i] += k * (b[i] - a[i]);
        }
    }

    static void divide(float[] x, float[] by, int n) {
        for (int i = 0; i < n; i++) {
            x[i] /= by[i];
        }
    }

    static void multiply(float[] x, float[] by, int n) {
        for (int i = 0; i < n; i++) {
            x[i] *= by[i];
        }
    }

    private static void products(float[] sum, float[] x, float[] a, float[] y, float[] b, int n) {
        for (int i = 0; i < n; i++) {
            sum[i] += a[i] * x[i] + b[i] * y[i];
        }
    }

    /** The part of the middle. */
    private static void begin(float[] slope, float[] spread, float[] mean, float[] level, int n) {
        for (int i = 0; i < n; i++) {
            float x = -mean[i] * spread[i];
            slope[i] = x * (slope[i] - level[i]);
            spread[i] = -mean[i] * x;
        }
    }

    private static void weigh(float[] a, float[] b, float[] spread, float[] mean, float k, int n) {
        for (int i = 0; i < n; i++) {
            float x = -k - mean[i];
            float y = k - mean[i];
            float p = a[i] * x;
            float q = b[i] * y;
            spread[i] += p * x + q * y;
            a[i] = p;
            b[i] = q;
        }
    }

    private static void products(
            float[] sum, float[] x, float[] a, float[] y, float[] b, float[] level, int n) {
        for (int i = 0; i < n; i++) {
            sum[i] += a[i] * (x[i] - level[i]) + b[i] * (y[i] - level[i]);
        }
    }
}
