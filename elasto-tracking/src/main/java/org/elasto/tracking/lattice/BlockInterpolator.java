package org.elasto.tracking.lattice;

import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.QRDecomposition;
import org.apache.commons.math3.linear.RealMatrix;

/**
 * Polynomial coefficients of an interpolator of an even number of taps (the structure of Farrow,
 * Proc IEEE Int Symp Circuits and Systems, 2641-2645, 1988; from memory): tap {@code j} at a place
 * {@code g} from the middle between the two middle samples has the weight {@code sum of c[i][j]
 * g^i}. The taps of each place have the least mean square error over a band, and their course over
 * the places is fitted by least squares. Immutable and thread-safe.
 */
final class BlockInterpolator {

    private BlockInterpolator() {}

    /**
     * The coefficients.
     *
     * @param taps number of taps, even
     * @param degree degree of the polynomials
     * @param edge edge of the band (cycles a sample)
     * @param reach farthest place either way (samples)
     * @return {@code [degree][tap]}; tap j and the last but j have equal coefficients of even
     *     degree and opposite ones of odd degree
     */
    static float[][] coefficients(int taps, int degree, double edge, double reach) {
        int places = 61;
        RealMatrix matrix = new Array2DRowRealMatrix(taps, taps);
        RealMatrix right = new Array2DRowRealMatrix(taps, places);
        RealMatrix powers = new Array2DRowRealMatrix(places, degree + 1);
        double middle = (taps - 1) / 2.0;
        for (int i = 0; i < taps; i++) {
            for (int j = 0; j < taps; j++) {
                matrix.setEntry(i, j, sinc(2 * edge * (i - j)));
            }
        }
        for (int p = 0; p < places; p++) {
            double g = reach * (2.0 * p / (places - 1) - 1);
            for (int j = 0; j < taps; j++) {
                right.setEntry(j, p, sinc(2 * edge * (j - middle - g)));
            }
            for (int i = 0; i <= degree; i++) {
                powers.setEntry(p, i, Math.pow(g, i));
            }
        }
        RealMatrix weights = new CholeskyDecomposition(matrix).getSolver().solve(right);
        RealMatrix fitted = new QRDecomposition(powers).getSolver().solve(weights.transpose());
        float[][] result = new float[degree + 1][taps];
        for (int i = 0; i <= degree; i++) {
            for (int j = 0; j < taps; j++) {
                // Symmetric to the last bit, so that mirrored places give mirrored results.
                double mirrored = (i % 2 == 0 ? 1 : -1) * fitted.getEntry(i, taps - 1 - j);
                result[i][j] = (float) ((fitted.getEntry(i, j) + mirrored) / 2);
            }
        }
        return result;
    }

    private static double sinc(double x) {
        return Math.abs(x) < 1e-12 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
    }
}
