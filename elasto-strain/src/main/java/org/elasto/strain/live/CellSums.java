package org.elasto.strain.live;

import java.util.Arrays;
import org.elasto.strain.shared.AlignedRows;

/**
 * Sums over the cells of a group and its pairs: the later frame times the conjugate of the earlier
 * one, on the same lines and crosswise (up: the earlier echo of the next line); the energies; and
 * the likeness of neighbours in the later frame. Products are made by loops that HotSpot turns into
 * vector instructions, for some cells ahead at the lag of the first one.
 *
 * <p>One thread at a time; allocates nothing after it is made.
 */
final class CellSums {

    // What is added up. Complex sums take two places.
    static final int SAME = 0;
    static final int UP = 2;
    static final int DOWN = 4;
    private static final int PRODUCTS = 6;
    static final int LATER_POWER = 6;
    private static final int EARLIER_POWER = 7;
    private static final int SUMS = 8;

    /** Lines of a pair, later and earlier, real and imaginary. */
    private static final int PARTS = 8;

    /** Cells that are added up together: loops are long enough, and a lag serves so many. */
    private static final int TOGETHER = 12;

    private final int cells;
    private final int cellSamples;
    private final int length;
    private final int pairs;
    private final int partner;

    private final double[] sums;

    /** Size of the product of neighbouring lines of the later frame around each cell. */
    private final double[] neighbours;

    /**
     * Parts of lines a and b of a pair, later and earlier (p and q); products over some cells or
     * all; and the power of all lines of the group, later and earlier.
     */
    private final float[][] rows;

    // The frames, line by line, and the first line of the group.
    private float[][] laterRe;
    private float[][] laterIm;
    private float[][] earlierRe;
    private float[][] earlierIm;
    private int firstLine;

    private int lag;
    private int end;

    /**
     * Makes sums.
     *
     * @param cells cells of a line
     * @param cellSamples samples of a cell
     * @param length samples of a line
     * @param pairs pairs of neighbouring lines
     * @param partner 1, or 0 if the only line is its own neighbour
     */
    CellSums(int cells, int cellSamples, int length, int pairs, int partner) {
        this.cells = cells;
        this.cellSamples = cellSamples;
        this.length = length;
        this.pairs = pairs;
        this.partner = partner;
        sums = new double[cells * SUMS];
        neighbours = new double[cells];
        rows = AlignedRows.ofFloats(PARTS + PRODUCTS + 2, length);
    }

    /** Two frames to compare: nothing is added up yet but what neighbours are alike. */
    void begin(
            float[][] newLaterRe,
            float[][] newLaterIm,
            float[][] newEarlierRe,
            float[][] newEarlierIm,
            int newFirstLine) {
        laterRe = newLaterRe;
        laterIm = newLaterIm;
        earlierRe = newEarlierRe;
        earlierIm = newEarlierIm;
        firstLine = newFirstLine;
        end = 0;
        power(laterRe, laterIm, laterPower());
        power(earlierRe, earlierIm, earlierPower());
        alike();
    }

    private void alike() {
        float[] sumRe = product(SAME);
        float[] sumIm = product(SAME + 1);
        clear(2, length);
        for (int i = 0; i < pairs; i++) {
            int a = firstLine + i * (1 + partner);
            float[] ar = laterRe[a];
            float[] ai = laterIm[a];
            float[] br = laterRe[a + partner];
            float[] bi = laterIm[a + partner];
            addProducts(sumRe, ar, br, ai, bi, length);
            subtractProducts(sumIm, ai, br, ar, bi, length);
        }
        for (int cell = 0; cell < cells; cell++) {
            int first = Math.max(0, (cell - 1) * cellSamples);
            int last = Math.min(length, (cell + 2) * cellSamples);
            double all = sum(laterPower(), first, last);
            double size = size(sum(sumRe, first, last), sum(sumIm, first, last));
            neighbours[cell] = all > 0 ? 2 * size / all : 0;
        }
    }

    private void power(float[][] re, float[][] im, float[] power) {
        Arrays.fill(power, 0, length, 0f);
        for (int i = 0; i < pairs; i++) {
            int a = firstLine + i * (1 + partner);
            addPowers(power, re[a], im[a], length);
            addPowers(power, re[a + partner], im[a + partner], length);
        }
    }

    /** Sees to it that a cell is added up at a lag, with which it stays inside the line. */
    void need(int cell, int newLag) {
        if (cell < end && newLag == lag) {
            return;
        }
        lag = newLag;
        end = Math.min(cells, cell + TOGETHER);
        int from = cell * cellSamples;
        // Later cells may reach out of the line at this lag; they will not be asked for.
        int samples = Math.min(end * cellSamples, length - Math.max(0, lag)) - from;
        end = cell + samples / cellSamples;
        multiply(from, samples);
        for (int i = cell; i < end; i++) {
            int first = (i - cell) * cellSamples;
            for (int k = 0; k < PRODUCTS; k++) {
                sums[i * SUMS + k] = sum(product(k), first, first + cellSamples);
            }
            int start = from + first;
            sums[i * SUMS + LATER_POWER] = sum(laterPower(), start, start + cellSamples);
            start += lag;
            sums[i * SUMS + EARLIER_POWER] = sum(earlierPower(), start, start + cellSamples);
        }
    }

    private void multiply(int from, int n) {
        clear(PRODUCTS, n);
        for (int i = 0; i < pairs; i++) {
            int a = firstLine + i * (1 + partner);
            float[] ar = part(0, laterRe[a], from, n);
            float[] ai = part(1, laterIm[a], from, n);
            float[] br = part(2, laterRe[a + partner], from, n);
            float[] bi = part(3, laterIm[a + partner], from, n);
            float[] pr = part(4, earlierRe[a], from + lag, n);
            float[] pi = part(5, earlierIm[a], from + lag, n);
            float[] qr = part(6, earlierRe[a + partner], from + lag, n);
            float[] qi = part(7, earlierIm[a + partner], from + lag, n);
            addProducts(product(SAME), ar, pr, ai, pi, n);
            addProducts(product(SAME), br, qr, bi, qi, n);
            subtractProducts(product(SAME + 1), ai, pr, ar, pi, n);
            subtractProducts(product(SAME + 1), bi, qr, br, qi, n);
            addProducts(product(UP), ar, qr, ai, qi, n);
            subtractProducts(product(UP + 1), ai, qr, ar, qi, n);
            addProducts(product(DOWN), br, pr, bi, pi, n);
            subtractProducts(product(DOWN + 1), bi, pr, br, pi, n);
        }
    }

    private void clear(int count, int n) {
        for (int k = 0; k < count; k++) {
            Arrays.fill(product(k), 0, n, 0f);
        }
    }

    private float[] part(int number, float[] from, int first, int n) {
        System.arraycopy(from, first, rows[number], 0, n);
        return rows[number];
    }

    private float[] product(int number) {
        return rows[PARTS + number];
    }

    private float[] laterPower() {
        return rows[PARTS + PRODUCTS];
    }

    private float[] earlierPower() {
        return rows[PARTS + PRODUCTS + 1];
    }

    /** Likeness of neighbouring lines of the later frame around a cell, 0 to 1. */
    double neighbours(int cell) {
        return neighbours[cell];
    }

    double of(int cell, int which) {
        return sums[cell * SUMS + which];
    }

    /** Geometric mean of the energies of both frames. */
    double power(int cell) {
        return Math.sqrt(of(cell, LATER_POWER) * of(cell, EARLIER_POWER));
    }

    double size(int cell, int which) {
        return size(of(cell, which), of(cell, which + 1));
    }

    double phase(int cell, int which) {
        return Math.atan2(of(cell, which + 1), of(cell, which));
    }

    private static double size(double x, double y) {
        return Math.sqrt(x * x + y * y);
    }

    /** In four sums that do not wait for one another. */
    private static double sum(float[] values, int from, int to) {
        float a = 0;
        float b = 0;
        float c = 0;
        float d = 0;
        int k = from;
        for (; k + 3 < to; k += 4) {
            a += values[k];
            b += values[k + 1];
            c += values[k + 2];
            d += values[k + 3];
        }
        for (; k < to; k++) {
            a += values[k];
        }
        return a + b + (c + d);
    }

    private static void addProducts(
            float[] sum, float[] a, float[] b, float[] c, float[] d, int n) {
        for (int k = 0; k < n; k++) {
            sum[k] += a[k] * b[k] + c[k] * d[k];
        }
    }

    private static void subtractProducts(
            float[] sum, float[] a, float[] b, float[] c, float[] d, int n) {
        for (int k = 0; k < n; k++) {
            sum[k] += a[k] * b[k] - c[k] * d[k];
        }
    }

    private static void addPowers(float[] sum, float[] a, float[] b, int n) {
        for (int k = 0; k < n; k++) {
            sum[k] += a[k] * a[k] + b[k] * b[k];
        }
    }
}
