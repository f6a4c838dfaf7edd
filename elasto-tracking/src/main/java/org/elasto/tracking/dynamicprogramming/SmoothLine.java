package org.elasto.tracking.dynamicprogramming;

import java.util.Arrays;

/**
 * The displacement of one line, axial and lateral, that agrees best with the equations of its
 * samples and is smooth: the sum over the samples of the squared residuals, plus {@code Ka}
 * (respectively {@code Kl}) times the squared second difference of the axial (lateral) displacement
 * at every three samples that no jump parts.
 *
 * <p>Penalising the second difference leaves constant displacement and constant strain alone. The
 * matrix is symmetric, positive definite and has four diagonals beside the main one when the two
 * unknowns of a sample stand next to each other; it is solved by LDL' decomposition without pivots
 * (Golub and Van Loan, Matrix Computations, section on banded systems; from memory).
 *
 * <p>With equations of weight 1 the answer to a single disturbed sample is, far from the ends, the
 * response of {@code 1 / (1 + l^4 w^4)} with {@code l = K^(1/4)} samples: {@code exp(-|n| / (l sqrt
 * 2)) (cos + sin)(|n| / (l sqrt 2)) / (2 sqrt 2 l)}. A rectangular window of {@code 8 sqrt(2) / 3
 * l} samples averages as much.
 *
 * <p>Workspace of one worker; a call allocates nothing.
 */
final class SmoothLine {

    /** Equivalent length of the window over the smoothing length. */
    static final double EQUIVALENT_LENGTH = 8 * Math.sqrt(2) / 3;

    private static final int BAND = 4;

    private final int length;

    /** Lower triangle: element (row, row - d) at {@code row * (BAND + 1) + d}. */
    private final double[] matrix;

    /** Right side, then the solution: axial and lateral of each sample in turn. */
    private final double[] unknown;

    SmoothLine(int length) {
        this.length = length;
        matrix = new double[2 * length * (BAND + 1)];
        unknown = new double[2 * length];
    }

    /** Begins a line: no equations, no smoothness. */
    void clear() {
        Arrays.fill(matrix, 0);
    }

    /** Sets the equations of a sample. */
    void set(
            int n,
            double axial,
            double cross,
            double lateral,
            double axialRight,
            double lateralRight) {
        int row = 2 * n * (BAND + 1);
        matrix[row] += axial;
        matrix[row + BAND + 1] += lateral;
        matrix[row + BAND + 2] += cross;
        unknown[2 * n] = axialRight;
        unknown[2 * n + 1] = lateralRight;
    }

    /** Adds the penalty of a bend at a sample that has a neighbour on either side. */
    void smooth(int n, double axial, double lateral) {
        bend(2 * n, axial);
        bend(2 * n + 1, lateral);
    }

    /** Adds k (1 -2 1)' (1 -2 1) around an unknown. */
    private void bend(int i, double k) {
        int w = BAND + 1;
        matrix[(i - 2) * w] += k;
        matrix[i * w] += 4 * k;
        matrix[(i + 2) * w] += k;
        matrix[i * w + 2] -= 2 * k;
        matrix[(i + 2) * w + 2] -= 2 * k;
        matrix[(i + 2) * w + 4] += k;
    }

    /** Solves for all samples. */
    void solve() {
        double[] a = matrix;
        double[] x = unknown;
        int rows = 2 * length;
        int w = BAND + 1;
        // L below the diagonal, D on it, and the forward substitution on the way.
        for (int i = 0; i < rows; i++) {
            double d = a[i * w];
            double y = x[i];
            for (int j = Math.max(0, i - BAND); j < i; j++) {
                // Element (i, j) times D_j, less what earlier columns have taken.
                double e = a[i * w + i - j];
                for (int k = Math.max(0, i - BAND); k < j; k++) {
                    e -= a[i * w + i - k] * a[j * w + j - k];
                }
                // Kept as (i, j) D_j until the row is done.
                a[i * w + i - j] = e;
            }
            for (int j = Math.max(0, i - BAND); j < i; j++) {
                double e = a[i * w + i - j];
                double l = e / a[j * w];
                d -= l * e;
                y -= l * x[j];
                a[i * w + i - j] = l;
            }
            a[i * w] = d;
            x[i] = y;
        }
        for (int i = rows - 1; i >= 0; i--) {
            double sum = x[i] / a[i * w];
            for (int j = i + 1; j <= Math.min(rows - 1, i + BAND); j++) {
                sum -= a[j * w + j - i] * x[j];
            }
            x[i] = sum;
        }
    }

    double axial(int n) {
        return unknown[2 * n];
    }

    double lateral(int n) {
        return unknown[2 * n + 1];
    }

    /**
     * How much more the axial displacement errs at each sample than far from the ends of a line, as
     * a ratio of standard deviations, with equations of weight 1: the root of the sum of squares of
     * a row of the inverse matrix, over that of an endless line.
     *
     * @param length samples a line
     * @param stiffness Ka
     * @return one factor a sample
     */
    static float[] endFactors(int length, double stiffness) {
        double smoothing = Math.pow(stiffness, 0.25);
        double endless = 1 / (EQUIVALENT_LENGTH * smoothing);
        // Eight smoothing lengths from an end nothing is felt of it.
        int reach = Math.min((length + 1) / 2, (int) Math.ceil(8 * smoothing));
        SmoothLine line = new SmoothLine(Math.min(length, 2 * reach));
        float[] factors = new float[length];
        Arrays.fill(factors, 1f);
        for (int n = 0; n < reach; n++) {
            float factor = (float) Math.sqrt(line.squaredResponse(n, stiffness) / endless);
            factors[n] = factor;
            factors[length - 1 - n] = factor;
        }
        return factors;
    }

    private double squaredResponse(int disturbed, double stiffness) {
        clear();
        for (int n = 0; n < length; n++) {
            set(n, 1, 0, 1, n == disturbed ? 1 : 0, 0);
            if (n > 0 && n < length - 1) {
                smooth(n, stiffness, 0);
            }
        }
        solve();
        double squares = 0;
        for (int n = 0; n < length; n++) {
            squares += axial(n) * axial(n);
        }
        return squares;
    }
}
