package org.elasto.tracking.opticalflow;

import org.elasto.api.Workers;

/**
 * Smooths a plane of data under a penalty on its second differences along and across lines: finds
 * the u that makes
 *
 * <pre>{@code
 * sum w (u - d)^2 + p s (u[n-1] - 2 u[n] + u[n+1])^2 + q t (u[l-1] - 2 u[l] + u[l+1])^2
 * }</pre>
 *
 * least, where s and t, from 0 to 1, let go where there is a jump.
 *
 * <p>What the equations still lack is solved for in alternating directions, {@code (w + p Dz) /w (w
 * + q Dx) e = lack}: along each line for itself, then across the lines at each depth for itself,
 * both exactly (matrices of five diagonals, LDL&#7488;). Unlike relaxation, which needs the more
 * sweeps the wider the smoothing, it leaves an error only in what changes fast in both directions,
 * of which the solution has next to nothing. The factors of this splitting are those of Peaceman
 * and Rachford, J SIAM 3:28-41, 1955 (from memory). The number of rounds is fixed, and each line
 * and each depth is solved for itself, so that any number of workers gives the same bits.
 *
 * <p>Sums along lines are double: the weights of smoothness are thousands of times those of the
 * data, and floats would not leave a straight line straight.
 */
final class AlternatingSolver {

    /** Depths that are solved together, for the sake of vector instructions. */
    private static final int DEPTHS = 64;

    /**
     * Least weight in the factors of the splitting, which only steer the way to the solution. Keeps
     * the float factors across the lines away from what rounding leaves of a difference.
     */
    private static final float LEAST_WEIGHT = 0.03f;

    private final int lines;
    private final int length;
    private final double weightAlong;
    private final float weightAcross;
    private final Workers workers;

    /** Factors along lines: first and second subdiagonal, inverse of the diagonal. */
    private final double[] alongFirst;

    private final double[] alongSecond;
    private final double[] alongInverse;

    /** Factors across lines. */
    private final float[] acrossFirst;

    private final float[] acrossSecond;
    private final float[] acrossInverse;

    private final float[] correction;
    private final double[][] scratch;
    private final Workers.Task factorAlong = this::factorLine;
    private final Workers.Task factorAcross = this::factorDepths;
    private final Workers.Task solveAlong = this::solveLine;
    private final Workers.Task solveAcross = this::solveDepths;

    private float[] data;
    private float[] weight;
    private float[] along;
    private float[] across;
    private float[] u;

    /**
     * Memory for planes of a size.
     *
     * @param lines lines
     * @param length samples a line
     * @param weightAlong p
     * @param weightAcross q; 0 for lines that know nothing of each other
     * @param workers threads it may use
     */
    AlternatingSolver(
            int lines, int length, double weightAlong, double weightAcross, Workers workers) {
        this.lines = lines;
        this.length = length;
        this.weightAlong = weightAlong;
        this.weightAcross = (float) weightAcross;
        this.workers = workers;
        int size = lines * length;
        alongFirst = new double[size];
        alongSecond = new double[size];
        alongInverse = new double[size];
        acrossFirst = new float[size];
        acrossSecond = new float[size];
        acrossInverse = new float[size];
        correction = new float[size];
        scratch = new double[workers.count()][length];
    }

    /**
     * Smooths. Planes are laid out {@code line * length + n}.
     *
     * @param data d
     * @param weight w, greater than 0
     * @param along s, that of the second difference around n at n
     * @param across t, likewise
     * @param u the solution to start from; receives the solution
     * @param rounds number of times each line and each depth is solved
     */
    void smooth(
            float[] data, float[] weight, float[] along, float[] across, float[] u, int rounds) {
        this.data = data;
        this.weight = weight;
        this.along = along;
        this.across = across;
        this.u = u;
        int blocks = (length + DEPTHS - 1) / DEPTHS;
        workers.run(lines, factorAlong);
        workers.run(blocks, factorAcross);
        for (int i = 0; i < rounds; i++) {
            workers.run(lines, solveAlong);
            workers.run(blocks, solveAcross);
        }
        this.data = null;
        this.weight = null;
        this.along = null;
        this.across = null;
        this.u = null;
    }

    private void factorLine(int line, int worker) {
        int at = line * length;
        double d1 = 1;
        double d2 = 1;
        double e1 = 0;
        for (int n = 0; n < length; n++) {
            int i = at + n;
            double here = n >= 1 && n < length - 1 ? weightAlong * along[i] : 0;
            double above = n >= 2 ? weightAlong * along[i - 1] : 0;
            double below = n < length - 2 ? weightAlong * along[i + 1] : 0;
            double f = above / d2;
            double e = n >= 1 ? (-2 * (here + above) - above * e1) / d1 : 0;
            double d =
                    Math.max(LEAST_WEIGHT, weight[i])
                            + 4 * here
                            + above
                            + below
                            - e * e * d1
                            - f * f * d2;
            alongFirst[i] = e;
            alongSecond[i] = f;
            alongInverse[i] = 1 / d;
            d2 = d1;
            d1 = d;
            e1 = e;
        }
    }

    private void factorDepths(int block, int worker) {
        int first = block * DEPTHS;
        int end = Math.min(length, first + DEPTHS);
        for (int line = 0; line < lines; line++) {
            float here = line >= 1 && line < lines - 1 ? weightAcross : 0;
            float above = line >= 2 ? weightAcross : 0;
            float below = line < lines - 2 ? weightAcross : 0;
            int at = line * length;
            int one = line >= 1 ? at - length : at;
            int two = line >= 2 ? one - length : at;
            int next = line < lines - 1 ? at + length : at;
            for (int n = first; n < end; n++) {
                float h = here * across[at + n];
                float a = above * across[one + n];
                float b = below * across[next + n];
                float i1 = line >= 1 ? acrossInverse[one + n] : 0;
                float i2 = line >= 2 ? acrossInverse[two + n] : 0;
                float e1 = line >= 1 ? acrossFirst[one + n] : 0;
                float f = a * i2;
                float toLast = -2 * (h + a) - a * e1;
                float e = toLast * i1;
                acrossFirst[at + n] = e;
                acrossSecond[at + n] = f;
                float w = Math.max(LEAST_WEIGHT, weight[at + n]);
                acrossInverse[at + n] = 1 / (w + 4 * h + a + b - e * toLast - f * a);
            }
        }
    }

    /** What the equations of a line lack, solved along the line. */
    private void solveLine(int line, int worker) {
        int at = line * length;
        double[] y = scratch[worker];
        for (int n = 0; n < length; n++) {
            y[n] = (double) weight[at + n] * ((double) data[at + n] - u[at + n]);
        }
        for (int n = 1; n < length - 1; n++) {
            int i = at + n;
            double bend = ((double) u[i - 1] - u[i]) + ((double) u[i + 1] - u[i]);
            bend *= weightAlong * along[i];
            y[n - 1] -= bend;
            y[n] += 2 * bend;
            y[n + 1] -= bend;
        }
        if (weightAcross > 0) {
            for (int centre = line - 1; centre <= line + 1; centre++) {
                if (centre >= 1 && centre < lines - 1) {
                    subtractBends(centre * length, centre == line ? -2 : 1, y);
                }
            }
        }
        double y1 = 0;
        double y2 = 0;
        for (int n = 0; n < length; n++) {
            double v = y[n] - alongFirst[at + n] * y1 - alongSecond[at + n] * y2;
            y[n] = v;
            y2 = y1;
            y1 = v;
        }
        double x1 = 0;
        double x2 = 0;
        double e1 = 0;
        double f1 = 0;
        double f2 = 0;
        for (int n = length - 1; n >= 0; n--) {
            double x = y[n] * alongInverse[at + n] - e1 * x1 - f2 * x2;
            correction[at + n] = (float) (Math.max(LEAST_WEIGHT, weight[at + n]) * x);
            x2 = x1;
            x1 = x;
            e1 = alongFirst[at + n];
            f2 = f1;
            f1 = alongSecond[at + n];
        }
    }

    private void subtractBends(int at, double share, double[] y) {
        double q = share * weightAcross;
        float[] v = u;
        float[] t = across;
        for (int n = 0; n < length; n++) {
            int i = at + n;
            y[n] -= q * t[i] * (((double) v[i - length] - v[i]) + ((double) v[i + length] - v[i]));
        }
    }

    /** Solves across the lines, at a block of depths, and corrects the solution. */
    private void solveDepths(int block, int worker) {
        int first = block * DEPTHS;
        int end = Math.min(length, first + DEPTHS);
        float[] y = correction;
        for (int line = 1; line < lines; line++) {
            int at = line * length;
            int one = at - length;
            int two = line >= 2 ? one - length : one;
            for (int n = first; n < end; n++) {
                // The second factor of line 1 is zero.
                y[at + n] -= acrossFirst[at + n] * y[one + n] + acrossSecond[at + n] * y[two + n];
            }
        }
        for (int line = lines - 1; line >= 0; line--) {
            int at = line * length;
            int one = line < lines - 1 ? at + length : -1;
            int two = line < lines - 2 ? one + length : -1;
            for (int n = first; n < end; n++) {
                y[at + n] *= acrossInverse[at + n];
            }
            if (one >= 0) {
                subtractProduct(y, at, one, acrossFirst, first, end);
            }
            if (two >= 0) {
                subtractProduct(y, at, two, acrossSecond, first, end);
            }
            for (int n = first; n < end; n++) {
                u[at + n] += y[at + n];
            }
        }
    }

    private static void subtractProduct(
            float[] y, int at, int from, float[] factor, int first, int end) {
        for (int n = first; n < end; n++) {
            y[at + n] -= factor[from + n] * y[from + n];
        }
    }
}
