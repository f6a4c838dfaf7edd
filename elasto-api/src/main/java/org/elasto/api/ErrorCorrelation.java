package org.elasto.api;

/**
 * How the errors of displacements at two depths of one line go together, because the windows that
 * gave them overlap. Strain estimators need it to predict their own error. Immutable and
 * thread-safe.
 *
 * @param shape shape of the correlation over the distance
 * @param length equivalent length of the window (m): the length of a rectangular window that
 *     averages as much, (&Sigma;w)&sup2;/&Sigma;w&sup2; times the sample spacing for weights w; 0
 *     or more, 0 for errors that are independent from row to row
 */
public record ErrorCorrelation(Shape shape, double length) {

    /** Shape of the correlation of errors over the distance between two rows. */
    public enum Shape {
        /** Rectangular windows: falls in a straight line to 0 at one window length. */
        TRIANGULAR,
        /** Gaussian windows: falls as exp(-&pi; d&sup2; / length&sup2;). */
        GAUSSIAN
    }

    /** Errors that are independent from row to row. */
    public static final ErrorCorrelation INDEPENDENT = new ErrorCorrelation(Shape.TRIANGULAR, 0);

    public ErrorCorrelation {
        java.util.Objects.requireNonNull(shape, "shape is missing");
        if (!(length >= 0) || Double.isInfinite(length)) {
            throw new IllegalArgumentException(
                    "window length is " + length + " m; it must be finite and not negative");
        }
    }

    /**
     * Correlation coefficient of the errors at two depths.
     *
     * @param distance distance between the two depths (m), of either sign
     * @return coefficient from 0 to 1; 1 at distance 0
     */
    public double at(double distance) {
        double d = Math.abs(distance);
        if (d == 0) {
            return 1;
        }
        if (length == 0) {
            return 0;
        }
        double relative = d / length;
        return shape == Shape.TRIANGULAR
                ? Math.max(0, 1 - relative)
                // The autocorrelation of a Gaussian of standard deviation s is exp(-d²/4s²), and
                // its equivalent length is 2 sqrt(pi) s.
                : Math.exp(-Math.PI * relative * relative);
    }
}
