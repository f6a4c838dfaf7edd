package org.elasto.strain.shared;

import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.ejml.dense.row.factory.LinearSolverFactory_DDRM;
import org.ejml.interfaces.linsol.LinearSolverDense;

/**
 * Fits a polynomial to displacements at some rows by generalised least squares and gives what each
 * displacement counts in its value or slope at the middle: {@code a = C⁻¹X (X'C⁻¹X)⁻¹ e}, with C
 * the covariance of the displacements, X the powers of the rows' distances, and e choosing the
 * value or the slope (Aitken, Proc Roy Soc Edinburgh 55:42&ndash;48, 1935).
 *
 * <p>Workspace of one worker; a call allocates nothing once warm.
 */
public final class PolynomialFit {

    private final int order;
    private final double unit;
    private final double[] correlation;

    /** Inverse of the covariance of a whole window; null where errors are independent. */
    private final DMatrixRMaj inverse;

    private final DMatrixRMaj powers;
    private final DMatrixRMaj weighted;
    private final DMatrixRMaj covariance;
    private final DMatrixRMaj normal;
    private final DMatrixRMaj right;
    private final DMatrixRMaj left;
    private final LinearSolverDense<DMatrixRMaj> covarianceSolver;
    private final LinearSolverDense<DMatrixRMaj> normalSolver;

    /**
     * Makes the workspace.
     *
     * @param length most rows of a window
     * @param order order of the polynomial
     * @param unit distance that counts as 1 in the powers, for sound numbers; in row spacings
     * @param correlation correlation of the errors of rows 0, 1, 2, ... apart, with 1 first and as
     *     many as a window has rows; null for independent errors
     */
    public PolynomialFit(int length, int order, double unit, double[] correlation) {
        this.order = order;
        this.unit = unit;
        this.correlation = correlation;
        powers = new DMatrixRMaj(length, order + 1);
        weighted = new DMatrixRMaj(length, order + 1);
        covariance = new DMatrixRMaj(length, length);
        normal = new DMatrixRMaj(order + 1, order + 1);
        right = new DMatrixRMaj(order + 1, 1);
        left = new DMatrixRMaj(order + 1, 1);
        covarianceSolver = LinearSolverFactory_DDRM.symmPosDef(length);
        normalSolver = LinearSolverFactory_DDRM.symmPosDef(order + 1);
        inverse = correlation == null ? null : invert(length);
    }

    private DMatrixRMaj invert(int length) {
        int[] all = new int[length];
        java.util.Arrays.setAll(all, i -> i);
        DMatrixRMaj result = new DMatrixRMaj(length, length);
        fillCovariance(length, all);
        if (!covarianceSolver.setA(covariance)) {
            throw new IllegalArgumentException(
                    "the correlation of " + length + " rows is not positive definite");
        }
        covarianceSolver.invert(result);
        return result;
    }

    /**
     * Solves for the weights.
     *
     * @param n number of rows, more than the order
     * @param at their distances from the middle, in row spacings, rising; {@code length} rows are
     *     neighbours
     * @param precision one over their deviations, in any unit; null where all are alike
     * @param derivative 0 for the value, 1 for the slope
     * @param weights receives what each row counts; a slope is one per row spacing
     * @return whether there is a solution
     */
    public boolean solve(int n, int[] at, double[] precision, int derivative, double[] weights) {
        powers.reshape(n, order + 1);
        weighted.reshape(n, order + 1);
        for (int i = 0; i < n; i++) {
            double x = precision == null ? 1 : precision[i];
            for (int p = 0; p <= order; p++) {
                powers.unsafe_set(i, p, x);
                x *= at[i] / unit;
            }
        }
        if (correlation == null) {
            weighted.setTo(powers);
        } else if (!decorrelate(n, at)) {
            return false;
        }
        CommonOps_DDRM.multTransA(powers, weighted, normal);
        right.zero();
        right.unsafe_set(derivative, 0, derivative == 0 ? 1 : 1 / unit);
        if (!normalSolver.setA(normal)) {
            return false;
        }
        normalSolver.solve(right, left);
        for (int i = 0; i < n; i++) {
            double sum = 0;
            for (int p = 0; p <= order; p++) {
                sum += weighted.unsafe_get(i, p) * left.unsafe_get(p, 0);
            }
            weights[i] = precision == null ? sum : sum * precision[i];
        }
        return true;
    }

    private boolean decorrelate(int n, int[] at) {
        if (n == inverse.numRows) {
            CommonOps_DDRM.mult(inverse, powers, weighted);
            return true;
        }
        fillCovariance(n, at);
        if (!covarianceSolver.setA(covariance)) {
            return false;
        }
        covarianceSolver.solve(powers, weighted);
        return true;
    }

    private void fillCovariance(int n, int[] at) {
        covariance.reshape(n, n);
        for (int i = 0; i < n; i++) {
            for (int j = 0; j < n; j++) {
                covariance.unsafe_set(i, j, correlation[Math.abs(at[i] - at[j])]);
            }
        }
    }
}
