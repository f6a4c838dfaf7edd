package org.elasto.strain.shared;

import java.util.Arrays;

/**
 * Variances of the slopes of {@link BlockSums}, from the correlation of errors along a line.
 *
 * <p>The slope's variance is {@code x'Rx} over the square of the spread, with {@code x = (k - mean)
 * / s} over the rows k of the window and the correlation R of their errors. R depends on distances
 * alone, so that even and odd parts of x do not mix, and each part of R is split once into C C' by
 * Cholesky: what is left is a sum of squares of short sums over the whole block.
 *
 * <p>Workspace of one worker; a call allocates nothing.
 */
final class BlockVariance {

    /** Correlations below that are none to a float. */
    private static final double NEGLIGIBLE = 1e-8;

    private final int half;
    private final int size;

    /** Correlation of errors by lag, lag 0 first. */
    private final double[] errors;

    /** Rows of C', first those of the even part, then those of the odd one. */
    private final float[][] evenTaps;

    private final float[][] oddTaps;

    /** Twice the even part of x by distance, but once in the middle; and twice the odd part. */
    private final float[][] even;

    private final float[][] odd;
    private final float[] above;
    private final float[] below;
    private final float[] partial;

    BlockVariance(RowWindow window, int size) {
        half = window.half();
        this.size = size;
        errors = new double[2 * half + 1];
        double[] r = errors;
        r[0] = 1;
        System.arraycopy(window.errors(), 0, r, 1, window.errors().length);
        double[][] evenPart = new double[half + 1][half + 1];
        double[][] oddPart = new double[half][half];
        for (int k = 0; k <= half; k++) {
            for (int l = 0; l <= half; l++) {
                double sum = r[Math.abs(k - l)] + r[k + l];
                evenPart[k][l] = k == 0 && l == 0 ? 1 : sum / 2;
                if (k > 0 && l > 0) {
                    oddPart[k - 1][l - 1] = (r[Math.abs(k - l)] - r[k + l]) / 2;
                }
            }
        }
        evenTaps = split(evenPart);
        oddTaps = split(oddPart);
        even = new float[half + 1][size];
        odd = new float[half][size];
        above = new float[size];
        below = new float[size];
        partial = new float[size];
    }

    /** The rows of C', each from its diagonal to the last entry that matters. */
    private static float[][] split(double[][] a) {
        int n = a.length;
        double[][] c = new double[n][n];
        float[][] rows = new float[n][];
        for (int q = 0; q < n; q++) {
            for (int k = q; k < n; k++) {
                double rest = a[k][q];
                for (int j = 0; j < q; j++) {
                    rest -= c[k][j] * c[q][j];
                }
                if (k == q) {
                    c[q][q] = Math.sqrt(Math.max(0, rest));
                } else {
                    c[k][q] = c[q][q] > 0 ? rest / c[q][q] : 0;
                }
            }
            int end = n;
            while (end > q + 1 && Math.abs(c[end - 1][q]) < NEGLIGIBLE) {
                end--;
            }
            rows[q] = new float[end - q];
            for (int k = q; k < end; k++) {
                rows[q][k - q] = (float) c[k][q];
            }
        }
        return rows;
    }

    /**
     * Standard deviations of all slopes of a block.
     *
     * @param lines precisions of the rows
     * @param line number of the block's first line
     * @param sums what has been fitted
     * @param deviation receives the deviations, per row
     */
    void predict(PaddedLines lines, int line, BlockSums sums, float[] deviation) {
        int at = lines.origin + line * lines.stride;
        float[] b = lines.precision;
        float[] mean = sums.mean;
        System.arraycopy(b, at, even[0], 0, size);
        toMiddle(even[0], mean, size);
        for (int k = 1; k <= half; k++) {
            System.arraycopy(b, at - k, above, 0, size);
            System.arraycopy(b, at + k, below, 0, size);
            toParts(even[k], odd[k - 1], above, below, mean, k, size);
        }
        Arrays.fill(deviation, 0, size, 0);
        addSquares(deviation, even, evenTaps);
        addSquares(deviation, odd, oddTaps);
        toDeviation(deviation, sums.spread, size);
    }

    /**
     * Standard deviation of the slope of one window that was {@linkplain BlockSums#refit fitted on
     * its own}, in double precision.
     *
     * @param lines precisions of the rows
     * @param place index of its middle in the padded lines
     * @param sums what has been fitted
     * @return the deviation, per row
     */
    double predictOne(PaddedLines lines, int place, BlockSums sums) {
        double variance = 0;
        for (int k = -half; k <= half; k++) {
            double others = 0;
            for (int l = -half; l < k; l++) {
                others += errors[k - l] * lines.precision[place + l] * (l - sums.ownMean);
            }
            double x = lines.precision[place + k] * (k - sums.ownMean);
            variance += x * (x + 2 * others);
        }
        return Math.sqrt(Math.max(0, variance)) / sums.ownSpread;
    }

    /** Adds the squares of short sums: of row q of the taps, over x from q on. */
    private void addSquares(float[] sum, float[][] x, float[][] rows) {
        for (int q = 0; q < rows.length; q++) {
            float[] row = rows[q];
            scale(partial, x[q], row[0], size);
            int k = 1;
            for (; k + 1 < row.length; k += 2) {
                addScaled(partial, x[q + k], x[q + k + 1], row[k], row[k + 1], size);
            }
            if (k < row.length) {
                addScaled(partial, x[q + k], row[k], size);
            }
            square(sum, partial, size);
        }
    }

    private static void toMiddle(float[] b, float[] mean, int n) {
        for (int i = 0; i < n; i++) {
            b[i] *= -mean[i];
        }
    }

    private static void toParts(
            float[] even, float[] odd, float[] a, float[] b, float[] mean, float k, int n) {
        for (int i = 0; i < n; i++) {
            float x = b[i] * (k - mean[i]);
            float y = a[i] * (k + mean[i]);
            even[i] = x - y;
            odd[i] = x + y;
        }
    }

    private static void scale(float[] out, float[] x, float c, int n) {
        for (int i = 0; i < n; i++) {
            out[i] = c * x[i];
        }
    }

    private static void addScaled(float[] out, float[] x, float c, int n) {
        for (int i = 0; i < n; i++) {
            out[i] += c * x[i];
        }
    }

    private static void addScaled(float[] out, float[] x, float[] y, float c, float d, int n) {
        for (int i = 0; i < n; i++) {
            out[i] += c * x[i] + d * y[i];
        }
    }

    private static void square(float[] sum, float[] x, int n) {
        for (int i = 0; i < n; i++) {
            sum[i] += x[i] * x[i];
        }
    }

    private static void toDeviation(float[] variance, float[] spread, int n) {
        for (int i = 0; i < n; i++) {
            variance[i] = (float) Math.sqrt(variance[i]) / spread[i];
        }
    }
}
