package org.elasto.strain.shared;

import java.util.Random;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.CommonOps_DDRM;
import org.ejml.dense.row.factory.DecompositionFactory_DDRM;
import org.ejml.interfaces.decomposition.CholeskyDecomposition_F64;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;

/** Errors drawn from their covariance. */
public final class Draws {

    private Draws() {}

    /** Covariance of so many rows, in units of nm². */
    public static DMatrixRMaj covariance(ErrorCorrelation errors, double spacing, double[] s) {
        DMatrixRMaj covariance = new DMatrixRMaj(s.length, s.length);
        for (int i = 0; i < s.length; i++) {
            for (int j = 0; j < s.length; j++) {
                covariance.set(i, j, s[i] * s[j] * errors.at((i - j) * spacing) * 1e18);
            }
        }
        return covariance;
    }

    /** Puts errors on every line of a field, as its layout and deviations say. */
    public static void addErrors(DisplacementField field, long seed) {
        int rows = field.rows();
        double[] s = new double[rows];
        for (int r = 0; r < rows; r++) {
            s[r] = field.axialDeviation()[r];
        }
        DMatrixRMaj covariance =
                covariance(field.layout().axialErrors(), field.layout().grid().spacing(), s);
        for (int r = 0; r < rows; r++) {
            // Keeps a smooth Gaussian covariance positive definite in floating point.
            covariance.set(r, r, covariance.get(r, r) * (1 + 1e-9));
        }
        CholeskyDecomposition_F64<DMatrixRMaj> cholesky =
                DecompositionFactory_DDRM.chol(rows, true);
        if (!cholesky.decompose(covariance)) {
            throw new IllegalArgumentException("the covariance is not positive definite");
        }
        DMatrixRMaj root = cholesky.getT(null);
        DMatrixRMaj white = new DMatrixRMaj(rows, 1);
        DMatrixRMaj drawn = new DMatrixRMaj(rows, 1);
        Random random = new Random(seed);
        for (int line = 0; line < field.lines(); line++) {
            for (int r = 0; r < rows; r++) {
                white.set(r, 0, random.nextGaussian());
            }
            CommonOps_DDRM.mult(root, white, drawn);
            for (int r = 0; r < rows; r++) {
                field.axial()[line * rows + r] += (float) (1e-9 * drawn.get(r, 0));
            }
        }
    }
}
