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
 * small, where s and t, from 0 to 1, let go where there is a jump. Each line is solved exactly (a
 * matrix of five diagonals, LDL&#7488;), line after line in three colours: lines of one colour do
 * not touch each other, so that they may be solved at the same time and the result has the same
 * bits for any number of workers. Lines are over-relaxed; by how much, and how many sweeps that
 * takes, is found beforehand on a model of a single row of lines.
 *
 * <p>Sums and factors are double: the weights of smoothness are thousands of times those of the
 * data, and floats would not leave a straight line straight.
 */
final class LineRelaxation {

    private static final int COLOURS = 3;

    /** Share of an error across the lines that the sweeps of one call may leave. */
    private static final double LEFT_OVER = 0.05;

    private static final int MOST_SWEEPS = 48;
    private static final int MODEL_LINES = 48;

    private final int lines;
    private final int length;
    private final float weightAlong;
    private final float weightAcross;
    private final double relaxation;
    private final int sweeps;
    private final Workers workers;

    /** Factors of each line's matrix: first and second subdiagonal, inverse of the diagonal. */
    private final double[] first;

    private final double[] second;
    private final double[] inverse;
    private final double[][] scratch;
    private final Workers.Task factor = this::factorLine;
    private final Workers.Task solve = this::solveLine;

    private float[] data;
    private float[] weight;
    private float[] along;
    private float[] across;
    private float[] u;
    private int colour;

    /**
     * Memory for planes of a size.
     *
     * @param lines lines
     * @param length samples a line
     * @param weightAlong p
     * @param weightAcross q
     * @param workers threads it may use
     */
    LineRelaxation(
            int lines, int length, double weightAlong, double weightAcross, Workers workers) {
        this.lines = lines;
        this.length = length;
        this.weightAlong = (float) weightAlong;
        this.weightAcross = (float) weightAcross;
        this.workers = workers;
        double bestFactor = 1;
        int fewest = Integer.MAX_VALUE;
        for (double factor = 1; factor < 1.95; factor += 0.05) {
            int needed = sweepsOfModel(weightAcross, factor);
            if (needed < fewest) {
                fewest = needed;
                bestFactor = factor;
            }
        }
        relaxation = bestFactor;
        sweeps = fewest;
        first = new double[lines * length];
        second = new double[lines * length];
        inverse = new double[lines * length];
        scratch = new double[workers.count()][length + 2];
    }

    /**
     * Sweeps that a row of lines which do not change with depth needs until what an error of
     * several wavelengths across has left is small enough.
     */
    private static int sweepsOfModel(double q, double factor) {
        double[] u = new double[MODEL_LINES];
        for (int l = 0; l < MODEL_LINES; l++) {
            for (int wave = 1; wave < MODEL_LINES / 2; wave *= 2) {
                u[l] += Math.cos(Math.PI * wave * (l + 0.5) / MODEL_LINES);
            }
        }
        double start = sumOfSquares(u);
        for (int sweep = 1; sweep < MOST_SWEEPS; sweep++) {
            for (int colour = 0; colour < COLOURS; colour++) {
                for (int l = colour; l < MODEL_LINES; l += COLOURS) {
                    u[l] -= factor * modelResidual(u, l, q);
                }
            }
            if (sumOfSquares(u) <= LEFT_OVER * LEFT_OVER * start) {
                return sweep;
            }
        }
        return MOST_SWEEPS;
    }

    /** What a line of the model lacks to its own equation, over the equation's diagonal. */
    private static double modelResidual(double[] u, int l, double q) {
        double gradient = u[l];
        double diagonal = 1;
        for (int centre = l - 1; centre <= l + 1; centre++) {
            if (centre >= 1 && centre < u.length - 1) {
                double bend = u[centre - 1] - 2 * u[centre] + u[centre + 1];
                double share = centre == l ? -2 : 1;
                gradient += q * share * bend;
                diagonal += q * share * share;
            }
        }
        return gradient / diagonal;
    }

    private static double sumOfSquares(double[] values) {
        double sum = 0;
        for (double value : values) {
            sum += value * value;
        }
        return sum;
    }

    /**
     * Number of times that a call solves each line.
     *
     * @return sweeps, at least 1
     */
    int sweeps() {
        return sweeps;
    }

    /**
     * Smooths. Planes are laid out {@code line * length + n}.
     *
     * @param data d
     * @param weight w, greater than 0
     * @param along s, that of the second difference around n at n
     * @param across t, likewise
     * @param u the solution to start from; receives the solution
     */
    void smooth(float[] data, float[] weight, float[] along, float[] across, float[] u) {
        this.data = data;
        this.weight = weight;
        this.along = along;
        this.across = across;
        this.u = u;
        workers.run(lines, factor);
        for (int i = 0; i < sweeps; i++) {
            for (colour = 0; colour < COLOURS; colour++) {
                workers.run((lines - colour + COLOURS - 1) / COLOURS, solve);
            }
        }
        this.data = null;
        this.weight = null;
        this.along = null;
        this.across = null;
        this.u = null;
    }

    private void factorLine(int line, int worker) {
        int at = line * length;
        boolean middle = line >= 1 && line < lines - 1;
        boolean before = line >= 2;
        boolean after = line < lines - 2;
        double d1 = 1;
        double d2 = 1;
        double e1 = 0;
        for (int n = 0; n < length; n++) {
            int i = at + n;
            double here = n >= 1 && n < length - 1 ? weightAlong * along[i] : 0;
            double above = n >= 2 ? weightAlong * along[i - 1] : 0;
            double below = n < length - 2 ? weightAlong * along[i + 1] : 0;
            double stiff = middle ? 4 * across[i] : 0;
            stiff += before ? across[i - length] : 0;
            stiff += after ? across[i + length] : 0;
            double diagonal = weight[i] + 4 * here + above + below + weightAcross * stiff;
            double toLast = n >= 1 ? -2 * (here + (n >= 2 ? above : 0)) : 0;
            double f = n >= 2 ? above / d2 : 0;
            double e = n >= 1 ? (toLast - (n >= 2 ? above * e1 : 0)) / d1 : 0;
            double d = diagonal - e * e * d1 - f * f * d2;
            first[i] = e;
            second[i] = f;
            inverse[i] = 1 / d;
            d2 = d1;
            d1 = d;
            e1 = e;
        }
    }

    private void solveLine(int task, int worker) {
        int line = colour + COLOURS * task;
        int at = line * length;
        double[] y = scratch[worker];
        for (int n = 0; n < length; n++) {
            y[n] = (double) weight[at + n] * data[at + n];
        }
        if (weightAcross > 0) {
            addNeighbours(line, y);
        }
        double y1 = 0;
        double y2 = 0;
        for (int n = 0; n < length; n++) {
            double v = y[n] - first[at + n] * y1 - second[at + n] * y2;
            y[n] = v;
            y2 = y1;
            y1 = v;
        }
        double x1 = 0;
        double x2 = 0;
        for (int n = length - 1; n >= 0; n--) {
            double x = y[n] * inverse[at + n];
            if (n < length - 1) {
                x -= first[at + n + 1] * x1;
            }
            if (n < length - 2) {
                x -= second[at + n + 2] * x2;
            }
            u[at + n] = (float) (u[at + n] + relaxation * (x - u[at + n]));
            x2 = x1;
            x1 = x;
        }
    }

    private void addNeighbours(int line, double[] y) {
        int at = line * length;
        double q = weightAcross;
        float[] v = u;
        float[] t = across;
        if (line >= 1 && line < lines - 1) {
            for (int n = 0; n < length; n++) {
                int i = at + n;
                y[n] += 2 * q * t[i] * ((double) v[i - length] + v[i + length]);
            }
        }
        if (line >= 2) {
            for (int n = 0; n < length; n++) {
                int i = at + n - length;
                y[n] += q * t[i] * (2.0 * v[i] - v[i - length]);
            }
        }
        if (line < lines - 2) {
            for (int n = 0; n < length; n++) {
                int i = at + n + length;
                y[n] += q * t[i] * (2.0 * v[i] - v[i + length]);
            }
        }
    }
}
