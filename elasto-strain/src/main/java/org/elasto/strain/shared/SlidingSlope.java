package org.elasto.strain.shared;

import java.util.Arrays;

/**
 * Slopes of a line by {@link SlopeWeights}. Where a window is known as a whole its weights are
 * those prepared, applied to all rows of the line at once; where rows at one end are missing they
 * are those prepared for that; with other holes the polynomial is fitted anew to the known rows.
 *
 * <p>Predicted variances are {@code a'Ca} with the weights a that were used and the covariance
 * {@code C[i][j] = s[i] s[j] r[i-j]} of the field.
 *
 * <p>Workspace of one worker; a call allocates nothing once warm.
 */
public final class SlidingSlope {

    private final SlopeWeights weights;
    private final int rows;
    private final int half;
    private final int needed;

    /** Most ratio of deviations within a window that is taken as even; infinite for any. */
    private final double evenness;

    private final double[] slopes;
    private final double[] shifted;
    private final float[] variances;
    private final float[] product;
    private final float[] shiftedProduct;
    private final float[] least;
    private final float[] most;

    // One window that is fitted on its own.
    private final PolynomialFit fit;
    private final int[] at;
    private final double[] precision;
    private final double[] fitted;
    private final double[] own;

    /**
     * Makes the workspace of one worker.
     *
     * @param weights weights of windows with even deviations
     * @param rows rows of a line
     * @param evenness ratio of the largest to the smallest deviation within a window above which
     *     rows are weighted by their deviations as well; infinite for never
     */
    public SlidingSlope(SlopeWeights weights, int rows, double evenness) {
        this.weights = weights;
        this.rows = rows;
        this.evenness = evenness;
        half = weights.window.half();
        needed = Math.max(weights.window.needed(), weights.order + 1);
        slopes = new double[rows];
        shifted = new double[rows];
        variances = new float[rows];
        product = new float[rows + 2 * half];
        shiftedProduct = new float[rows];
        least = new float[rows + 2 * half];
        most = new float[rows + 2 * half];
        fit = weights.newFit();
        int length = weights.window.length();
        at = new int[length];
        precision = new double[length];
        fitted = new double[length];
        own = new double[length];
    }

    /** Rows of room that the line must have above and below. */
    int margin() {
        return half;
    }

    /**
     * Slopes of all rows of a line.
     *
     * @param line the line, with a margin of half a window
     * @param slope receives the slopes, NaN where unknown
     * @param deviation receives their predicted deviations
     * @param to where the line begins in these arrays
     */
    public void fit(LineData line, float[] slope, float[] deviation, int to) {
        if (line.margin != half) {
            throw new IllegalArgumentException(
                    "line has a margin of " + line.margin + " rows; expected " + half);
        }
        if (line.known(0, rows - 1) == 0) {
            Arrays.fill(slope, to, to + rows, Float.NaN);
            Arrays.fill(deviation, to, to + rows, Float.NaN);
            return;
        }
        convolve(line.displacement);
        predict(line.deviation);
        boolean weigh = evenness < Double.POSITIVE_INFINITY;
        if (weigh) {
            findExtremes(line.deviation);
        }
        for (int r = 0; r < rows; r++) {
            int known = line.known(r - half, r + half);
            if (known < needed) {
                slope[to + r] = Float.NaN;
                deviation[to + r] = Float.NaN;
            } else if (known <= 2 * half || weigh && most[r] > evenness * least[r]) {
                fitOne(line, r, known, slope, deviation, to + r);
            } else {
                slope[to + r] = (float) slopes[r];
                deviation[to + r] = (float) Math.sqrt(Math.max(0, variances[r]));
            }
        }
    }

    /** Slopes as if all were known: odd weights, so that rows go in pairs. */
    private void convolve(double[] u) {
        double[] sum = slopes;
        double[] x = shifted;
        Arrays.fill(sum, 0);
        for (int k = 1; k <= half; k++) {
            double tap = weights.whole[half + k];
            System.arraycopy(u, half + k, x, 0, rows);
            for (int r = 0; r < rows; r++) {
                sum[r] += tap * x[r];
            }
            System.arraycopy(u, half - k, x, 0, rows);
            for (int r = 0; r < rows; r++) {
                sum[r] -= tap * x[r];
            }
        }
    }

    /** Variances as if all were known: products of deviations so far apart, lag by lag. */
    private void predict(float[] s) {
        int length = 2 * half + 1;
        float[] sum = variances;
        float[] p = product;
        float[] x = shiftedProduct;
        Arrays.fill(sum, 0);
        for (int lag = 0; lag < length; lag++) {
            double r = weights.errors[lag] * (lag == 0 ? 1 : 2);
            if (r == 0) {
                break;
            }
            System.arraycopy(s, lag, p, 0, p.length - lag);
            for (int i = 0; i < p.length - lag; i++) {
                p[i] *= s[i];
            }
            for (int k = 0; k < length - lag; k++) {
                float tap = (float) (r * weights.whole[k] * weights.whole[k + lag]);
                System.arraycopy(p, k, x, 0, rows);
                for (int i = 0; i < rows; i++) {
                    sum[i] += tap * x[i];
                }
            }
        }
    }

    /** Smallest and largest deviation of the windows, by stretches that double. */
    private void findExtremes(float[] s) {
        System.arraycopy(s, 0, least, 0, least.length);
        System.arraycopy(s, 0, most, 0, most.length);
        int length = 2 * half + 1;
        int done = 1;
        while (done < length) {
            int step = Math.min(done, length - done);
            for (int i = 0; i < least.length - step; i++) {
                least[i] = Math.min(least[i], least[i + step]);
                most[i] = Math.max(most[i], most[i + step]);
            }
            done += step;
        }
    }

    private void fitOne(
            LineData line, int row, int known, float[] slope, float[] deviation, int to) {
        int n = gather(line, row);
        boolean even = !(evenness < Double.POSITIVE_INFINITY) || isEven(n);
        double[] a = own;
        int missing = 2 * half + 1 - known;
        if (even && at[0] == missing - half && at[n - 1] == half) {
            a = weights.above(missing);
        } else if (even && at[0] == -half && at[n - 1] == half - missing) {
            a = weights.below(missing);
        } else if (fit.solve(n, at, even ? null : precision, 1, fitted)) {
            for (int i = 0; i < n; i++) {
                own[i] = fitted[i] / weights.window.spacing();
            }
        } else {
            slope[to] = Float.NaN;
            deviation[to] = Float.NaN;
            return;
        }
        int middle = line.margin + row;
        double sum = 0;
        double variance = 0;
        for (int i = 0; i < n; i++) {
            sum += a[i] * line.displacement[middle + at[i]];
            double x = a[i] * line.deviation[middle + at[i]];
            fitted[i] = x;
            double others = 0;
            for (int j = 0; j < i; j++) {
                others += weights.errors[at[i] - at[j]] * fitted[j];
            }
            variance += x * (x + 2 * others);
        }
        slope[to] = (float) sum;
        deviation[to] = (float) Math.sqrt(Math.max(0, variance));
    }

    private int gather(LineData line, int row) {
        int n = 0;
        for (int k = -half; k <= half; k++) {
            float s = line.deviation[line.margin + row + k];
            if (s > 0) {
                at[n] = k;
                precision[n] = 1e-6 / s;
                n++;
            }
        }
        return n;
    }

    private boolean isEven(int n) {
        double smallest = precision[0];
        double largest = precision[0];
        for (int i = 1; i < n; i++) {
            smallest = Math.min(smallest, precision[i]);
            largest = Math.max(largest, precision[i]);
        }
        return largest <= evenness * smallest;
    }
}
