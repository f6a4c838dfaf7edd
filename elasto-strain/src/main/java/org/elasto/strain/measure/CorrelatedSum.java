package org.elasto.strain.measure;

/**
 * The sum over all pairs of cells of a block of what both weigh, times the correlation of their
 * errors: the variance of a weighted sum, if the weights hold the deviations.
 *
 * <p>Correlation is that of the rows times that of the lines, so that one filter after the other
 * will do, lag by lag for the whole block: a lag is a copy shifted into place, between lines that
 * have room for it, and loops as short as these are what HotSpot makes vector code of. Each pair of
 * lines is taken once.
 *
 * <p>One thread at a time; a call allocates nothing.
 */
final class CorrelatedSum {

    private final double[] alongRows;
    private final double[] acrossLines;

    /** Farthest rows that go together; room of so many zeros lies around each line. */
    private final int reach;

    private final int stride;
    private final int size;
    private final double[] filtered;
    private final double[] sum;
    private final double[] above;
    private final double[] below;

    CorrelatedSum(StrainErrors errors, int lines, int rows) {
        alongRows = errors.alongRows;
        acrossLines = errors.acrossLines;
        reach = Math.min(alongRows.length, rows) - 1;
        stride = rows + reach;
        size = lines * stride;
        filtered = new double[size];
        sum = new double[size];
        above = new double[size];
        below = new double[size];
    }

    /** Weights of all cells, 0 at first; those of cells are found at their {@link #place}. */
    double[] newWeights() {
        return new double[size + 2 * reach];
    }

    /** Where the weight of a cell stands. */
    int place(int line, int row) {
        return reach + line * stride + row;
    }

    /** The sum, never less than 0. */
    double of(double[] weights) {
        System.arraycopy(weights, reach, filtered, 0, size);
        for (int k = 1; k <= reach; k++) {
            System.arraycopy(weights, reach - k, above, 0, size);
            System.arraycopy(weights, reach + k, below, 0, size);
            addBoth(filtered, above, below, alongRows[k], size);
        }
        System.arraycopy(filtered, 0, sum, 0, size);
        for (int d = 1; d < acrossLines.length && d * stride < size; d++) {
            int rest = size - d * stride;
            System.arraycopy(filtered, d * stride, below, 0, rest);
            addScaled(sum, below, 2 * acrossLines[d], rest);
        }
        System.arraycopy(weights, reach, above, 0, size);
        return Math.max(0, product(above, sum, size));
    }

    private static void addBoth(double[] sum, double[] a, double[] b, double factor, int n) {
        for (int i = 0; i < n; i++) {
            sum[i] += factor * (a[i] + b[i]);
        }
    }

    private static void addScaled(double[] sum, double[] a, double factor, int n) {
        for (int i = 0; i < n; i++) {
            sum[i] += factor * a[i];
        }
    }

    /** In four sums that do not wait for one another. */
    private static double product(double[] x, double[] y, int n) {
        double a = 0;
        double b = 0;
        double c = 0;
        double d = 0;
        int k = 0;
        for (; k + 3 < n; k += 4) {
            a += x[k] * y[k];
            b += x[k + 1] * y[k + 1];
            c += x[k + 2] * y[k + 2];
            d += x[k + 3] * y[k + 3];
        }
        for (; k < n; k++) {
            a += x[k] * y[k];
        }
        return a + b + (c + d);
    }
}
