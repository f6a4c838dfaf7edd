package org.elasto.strain.totalvariation;

import java.util.Arrays;
import org.elasto.api.Workers;

/**
 * Finds the displacement v whose strain has the least total variation and that still lies near what
 * was measured: the least of
 *
 * <pre>{@code
 * sum w (v - d)² / 2 + sum a |D2 v| + sum b |Dx D v|
 * }</pre>
 *
 * with D the difference from row to row, D2 the second one, Dx that from line to line, and weights
 * w, a and b for every place. The primal-dual method of Chambolle &amp; Pock (J Math Imaging Vis
 * 40:120&ndash;145, 2011) with a metric of its own for every line, {@code M = p D2'D2 + 4 q D'D},
 * which is at least {@code K' S K} of the whole operator K = [D2; Dx D] with dual steps S = (p, q):
 * so that each line is one banded system, solved exactly, and long waves do not need many steps.
 *
 * <p>Arrays are row after row, with the lines beside each other: rows follow from each other, lines
 * do not. One step is two runs over blocks of lines; no sums cross blocks, so that the number of
 * workers does not matter.
 */
final class EvenStrainSolver {

    /** Lines that one task goes over; fixed, since it must not depend on the workers. */
    private static final int BLOCK = 64;

    /** Keeps lines solvable of which nothing is known; part of the metric only. */
    private static final double FLOOR = 1e-6;

    final int lines;
    final int rows;

    /** Weights of what was measured, 0 where unknown. */
    final double[][] weight;

    /** What was measured. */
    final double[][] measured;

    /** Price of a change of strain at a row. */
    final double[][] price;

    /** Price of a change of strain between rows r and r + 1, to the next line; 0 on the last. */
    final double[][] priceAcross;

    /** The solution. */
    final double[][] value;

    private final double step;
    private final double stepAcross;

    // The banded system as L D L': inverse of D, and the two lower diagonals of L.
    private final double[][] pivot;
    private final double[][] lower;
    private final double[][] lowest;

    private final double[][] dual;
    private final double[][] dualAcross;
    private final double[][] change;
    private final double[][] ahead;
    private final Workers workers;
    private final double[][][] scratch;
    private final int blocks;
    private final Workers.Task factor = (block, worker) -> factorBlock(block);
    private final Workers.Task primal = this::primalBlock;
    private final Workers.Task adjoint = this::dualBlock;

    /**
     * Makes a solver.
     *
     * @param step dual step in depth, p
     * @param stepAcross dual step across the lines, q
     */
    EvenStrainSolver(int lines, int rows, double step, double stepAcross, Workers workers) {
        this.lines = lines;
        this.rows = rows;
        this.step = step;
        this.stepAcross = stepAcross;
        this.workers = workers;
        blocks = (lines + BLOCK - 1) / BLOCK;
        weight = new double[rows][lines];
        measured = new double[rows][lines];
        price = new double[rows][lines];
        priceAcross = new double[rows][lines];
        value = new double[rows][lines];
        pivot = new double[rows][lines];
        lower = new double[rows][lines];
        lowest = new double[rows][lines];
        dual = new double[rows][lines];
        dualAcross = new double[rows][lines];
        change = new double[rows][lines];
        ahead = new double[rows][lines];
        scratch = new double[workers.count()][5][lines + 1];
    }

    /** Prepares the systems for new weights. */
    void factor() {
        workers.run(blocks, factor);
    }

    /**
     * Solves for {@link #value}, beginning at what it holds.
     *
     * @param steps number of steps
     */
    void solve(int steps) {
        for (int r = 0; r < rows; r++) {
            Arrays.fill(dual[r], 0);
            Arrays.fill(dualAcross[r], 0);
        }
        for (int i = 0; i < steps; i++) {
            workers.run(blocks, primal);
            workers.run(blocks, adjoint);
        }
    }

    /** Second differences that reach a row, weighted: the diagonals of D2'D2 at the ends differ. */
    private double diagonal(int r, int apart) {
        double sum = 0;
        for (int middle = Math.max(1, r - 1); middle <= Math.min(rows - 2, r + 1); middle++) {
            if (Math.abs(r + apart - middle) <= 1) {
                sum += (r == middle ? -2 : 1) * (r + apart == middle ? -2 : 1);
            }
        }
        return sum;
    }

    private void factorBlock(int block) {
        int begin = block * BLOCK;
        int end = Math.min(lines, begin + BLOCK);
        for (int r = 0; r < rows; r++) {
            int neighbours = (r > 0 ? 1 : 0) + (r < rows - 1 ? 1 : 0);
            double own = step * diagonal(r, 0) + 4 * stepAcross * neighbours + FLOOR;
            double one = r > 0 ? step * diagonal(r, -1) - 4 * stepAcross : 0;
            double two = r > 1 ? step * diagonal(r, -2) : 0;
            for (int l = begin; l < end; l++) {
                double c = r > 1 ? two * pivot[r - 2][l] : 0;
                double b = r > 0 ? one : 0;
                if (r > 1) {
                    b -= c * lower[r - 1][l] / pivot[r - 2][l];
                }
                b = r > 0 ? b * pivot[r - 1][l] : 0;
                double d = own + weight[r][l];
                if (r > 0) {
                    d -= b * b / pivot[r - 1][l];
                }
                if (r > 1) {
                    d -= c * c / pivot[r - 2][l];
                }
                pivot[r][l] = 1 / d;
                lower[r][l] = b;
                lowest[r][l] = c;
            }
        }
    }

    private void primalBlock(int block, int worker) {
        int begin = block * BLOCK;
        int end = Math.min(lines, begin + BLOCK);
        double[] left = scratch[worker][0];
        double[] pull = scratch[worker][1];
        double[] pullBefore = scratch[worker][2];
        double[] nothing = scratch[worker][3];
        Arrays.fill(pullBefore, begin, end, 0);
        Arrays.fill(nothing, begin, end, 0);
        for (int r = 0; r < rows; r++) {
            double[] across = dualAcross[r];
            left[begin] = begin > 0 ? across[begin - 1] : 0;
            System.arraycopy(across, begin, left, begin + 1, end - begin - 1);
            double[] above = r > 0 ? dual[r - 1] : nothing;
            double[] here = dual[r];
            double[] below = r < rows - 1 ? dual[r + 1] : nothing;
            double[] w = weight[r];
            double[] d = measured[r];
            double[] v = value[r];
            double[] x = change[r];
            for (int l = begin; l < end; l++) {
                pull[l] = left[l] - across[l];
            }
            for (int l = begin; l < end; l++) {
                x[l] =
                        w[l] * (d[l] - v[l])
                                - (above[l] - 2 * here[l] + below[l])
                                - (pullBefore[l] - pull[l]);
            }
            if (r > 0) {
                double[] a = change[r - 1];
                double[] b = lower[r];
                for (int l = begin; l < end; l++) {
                    x[l] -= b[l] * a[l];
                }
            }
            if (r > 1) {
                double[] a = change[r - 2];
                double[] b = lowest[r];
                for (int l = begin; l < end; l++) {
                    x[l] -= b[l] * a[l];
                }
            }
            double[] swap = pullBefore;
            pullBefore = pull;
            pull = swap;
        }
        for (int r = rows - 1; r >= 0; r--) {
            double[] x = change[r];
            double[] p = pivot[r];
            for (int l = begin; l < end; l++) {
                x[l] *= p[l];
            }
            if (r < rows - 1) {
                double[] a = change[r + 1];
                double[] b = lower[r + 1];
                for (int l = begin; l < end; l++) {
                    x[l] -= b[l] * a[l];
                }
            }
            if (r < rows - 2) {
                double[] a = change[r + 2];
                double[] b = lowest[r + 2];
                for (int l = begin; l < end; l++) {
                    x[l] -= b[l] * a[l];
                }
            }
            double[] v = value[r];
            double[] y = ahead[r];
            for (int l = begin; l < end; l++) {
                v[l] += x[l];
            }
            for (int l = begin; l < end; l++) {
                y[l] = v[l] + x[l];
            }
        }
    }

    private void dualBlock(int block, int worker) {
        int begin = block * BLOCK;
        int end = Math.min(lines, begin + BLOCK);
        int beyond = Math.min(lines, end + 1);
        double[] strain = scratch[worker][0];
        double[] right = scratch[worker][1];
        for (int r = 0; r < rows - 1; r++) {
            double[] here = ahead[r];
            double[] below = ahead[r + 1];
            if (r > 0) {
                bend(ahead[r - 1], here, below, price[r], dual[r], begin, end);
            }
            for (int l = begin; l < beyond; l++) {
                strain[l] = below[l] - here[l];
            }
            if (beyond == end) {
                strain[end] = strain[end - 1];
            }
            System.arraycopy(strain, begin + 1, right, begin, end - begin);
            double[] y = dualAcross[r];
            double[] most = priceAcross[r];
            for (int l = begin; l < end; l++) {
                y[l] += stepAcross * (right[l] - strain[l]);
            }
            for (int l = begin; l < end; l++) {
                y[l] = Math.max(-most[l], Math.min(most[l], y[l]));
            }
        }
    }

    private void bend(
            double[] above,
            double[] here,
            double[] below,
            double[] most,
            double[] y,
            int begin,
            int end) {
        for (int l = begin; l < end; l++) {
            y[l] += step * (above[l] - 2 * here[l] + below[l]);
        }
        for (int l = begin; l < end; l++) {
            y[l] = Math.max(-most[l], Math.min(most[l], y[l]));
        }
    }

    /** Dual variables in depth and across, for the tests. */
    double[][][] duals() {
        return new double[][][] {dual, dualAcross};
    }
}
