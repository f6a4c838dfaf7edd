package org.elasto.tracking.correlation;

/**
 * The maximum near the middle of a short, evenly sampled curve by quintic spline interpolation.
 *
 * <p>The spline through the samples is a sum of quintic B-splines; beyond its ends the curve is
 * taken to be mirrored, which the middle hardly feels. For a signal of a quarter of the sampling
 * frequency the interpolation error is about 0.1 %.
 *
 * <p>One thread at a time; a call allocates nothing.
 */
final class QuinticSpline {

    /** Samples on either side of the middle one. */
    static final int SIDE = 6;

    private static final int POINTS = 2 * SIDE + 1;
    private static final double[] INVERSE = inverse();

    private final double[] coefficients = new double[POINTS];

    /**
     * Finds the maximum.
     *
     * @param samples {@code 2 * SIDE + 1} samples, the middle one the greatest of its neighbours
     * @param start a first idea of the offset
     * @return offset of the maximum from the middle sample, -1 to 1
     */
    double maximum(double[] samples, double start) {
        for (int i = 0; i < POINTS; i++) {
            double sum = 0;
            for (int j = 0; j < POINTS; j++) {
                sum += INVERSE[i * POINTS + j] * samples[j];
            }
            coefficients[i] = sum;
        }
        double x = start;
        for (int step = 0; step < 4; step++) {
            double slope = 0;
            double curvature = 0;
            // The middle sample is at 0; a B-spline reaches 3 to either side.
            for (int j = SIDE - 4; j <= SIDE + 4; j++) {
                slope += coefficients[j] * firstDerivative(x - (j - SIDE));
                curvature += coefficients[j] * secondDerivative(x - (j - SIDE));
            }
            if (!(curvature < 0)) {
                return start;
            }
            x = Math.max(-1, Math.min(1, x - slope / curvature));
        }
        return x;
    }

    private static double value(double x) {
        double a = Math.abs(x);
        if (a < 1) {
            return (66 + a * a * (-60 + a * a * (30 - 10 * a))) / 120;
        }
        if (a < 2) {
            return (51 + a * (75 + a * (-210 + a * (150 + a * (-45 + 5 * a))))) / 120;
        }
        return a < 3 ? Math.pow(3 - a, 5) / 120 : 0;
    }

    private static double firstDerivative(double x) {
        double a = Math.abs(x);
        double d;
        if (a < 1) {
            d = a * (-120 + a * a * (120 - 50 * a)) / 120;
        } else if (a < 2) {
            d = (75 + a * (-420 + a * (450 + a * (-180 + 25 * a)))) / 120;
        } else {
            double b = Math.max(0, 3 - a);
            d = -b * b * b * b / 24;
        }
        return x < 0 ? -d : d;
    }

    private static double secondDerivative(double x) {
        double a = Math.abs(x);
        if (a < 1) {
            return (-120 + a * a * (360 - 200 * a)) / 120;
        }
        if (a < 2) {
            return (-420 + a * (900 + a * (-540 + 100 * a))) / 120;
        }
        double b = Math.max(0, 3 - a);
        return b * b * b / 6;
    }

    /** Inverse of the matrix that turns coefficients into samples, by Gauss-Jordan elimination. */
    private static double[] inverse() {
        double[][] m = new double[POINTS][2 * POINTS];
        for (int i = 0; i < POINTS; i++) {
            for (int d = -2; d <= 2; d++) {
                int j = Math.abs(i + d);
                j = j >= POINTS ? 2 * (POINTS - 1) - j : j;
                m[i][j] += value(d);
            }
            m[i][POINTS + i] = 1;
        }
        for (int p = 0; p < POINTS; p++) {
            // The matrix is diagonally dominant: no pivoting needed.
            double pivot = m[p][p];
            for (int j = 0; j < 2 * POINTS; j++) {
                m[p][j] /= pivot;
            }
            for (int i = 0; i < POINTS; i++) {
                double factor = m[i][p];
                for (int j = 0; i != p && j < 2 * POINTS; j++) {
                    m[i][j] -= factor * m[p][j];
                }
            }
        }
        double[] inverse = new double[POINTS * POINTS];
        for (int i = 0; i < POINTS; i++) {
            System.arraycopy(m[i], POINTS, inverse, i * POINTS, POINTS);
        }
        return inverse;
    }
}
