package org.elasto.strain.shared;

/**
 * What each row of a window counts in the slope at its middle, prepared for windows of which all is
 * known and for those of which one end is not. Immutable but for what its arrays hold, which nobody
 * changes; thread-safe.
 */
public final class SlopeWeights {

    final RowWindow window;
    final int order;

    /** Correlation that the fit reckons with, lag 0 first; null for none. */
    final double[] fitted;

    /** For the whole window, per metre, from its first row to its last; odd about its middle. */
    final double[] whole;

    /** Correlation of errors by lag, lag 0 first, for all rows of the window. */
    final double[] errors;

    /** Weights where so many rows are missing above, by the number missing; entry 0 is null. */
    private final double[][] missingAbove;

    /** For missing rows below: the same, mirrored with opposite sign. */
    private final double[][] missingBelow;

    /**
     * Prepares the weights of a polynomial fit.
     *
     * @param window the window; its errors say how deviations are predicted
     * @param order order of the polynomial, 1 or more
     * @param fitted correlation of errors that the fit reckons with, as in {@link PolynomialFit}
     */
    public SlopeWeights(RowWindow window, int order, double[] fitted) {
        this.window = window;
        this.order = order;
        this.fitted = fitted;
        int length = window.length();
        PolynomialFit fit = newFit();
        whole = solve(fit, 0);
        for (int k = 0; k <= window.half(); k++) {
            // Odd but for rounding, and exactly so that even displacement is exactly no strain.
            double odd = (whole[length - 1 - k] - whole[k]) / 2;
            whole[length - 1 - k] = odd;
            whole[k] = -odd;
        }
        whole[window.half()] = 0;
        errors = new double[length];
        errors[0] = 1;
        System.arraycopy(window.errors(), 0, errors, 1, window.errors().length);
        int most = length - Math.max(window.needed(), order + 1);
        missingAbove = new double[most + 1][];
        missingBelow = new double[most + 1][];
        for (int m = 1; m <= most; m++) {
            missingAbove[m] = solve(fit, m);
            double[] mirrored = new double[length - m];
            for (int i = 0; i < mirrored.length; i++) {
                mirrored[i] = -missingAbove[m][mirrored.length - 1 - i];
            }
            missingBelow[m] = mirrored;
        }
    }

    PolynomialFit newFit() {
        return new PolynomialFit(window.length(), order, window.half(), fitted);
    }

    private double[] solve(PolynomialFit fit, int missing) {
        int n = window.length() - missing;
        int[] at = new int[n];
        for (int i = 0; i < n; i++) {
            at[i] = missing + i - window.half();
        }
        double[] weights = new double[n];
        if (!fit.solve(n, at, null, 1, weights)) {
            throw new IllegalArgumentException(
                    "a window of "
                            + window.length()
                            + " rows, "
                            + missing
                            + " of them missing, has no fit of order "
                            + order);
        }
        for (int i = 0; i < n; i++) {
            weights[i] /= window.spacing();
        }
        return weights;
    }

    double[] above(int missing) {
        return missingAbove[missing];
    }

    double[] below(int missing) {
        return missingBelow[missing];
    }

    /**
     * What each row of a whole window counts in the slope.
     *
     * @return weights (1/m), from the first row to the last
     */
    public double[] whole() {
        return whole.clone();
    }

    /**
     * Standard deviation of the slope from a whole window of rows of deviation 1 m.
     *
     * @return {@code sqrt(a'Ra)} for the weights a and the correlation R of the errors (1/m)
     */
    public double deviation() {
        double variance = 0;
        for (int i = 0; i < whole.length; i++) {
            for (int j = 0; j < whole.length; j++) {
                variance += whole[i] * whole[j] * errors[Math.abs(i - j)];
            }
        }
        return Math.sqrt(variance);
    }

    /**
     * Depth over which the response to a step of strain rises from 10 % to 90 %.
     *
     * @return depth (m)
     */
    public double resolution() {
        return StepResponse.width(whole, window.spacing());
    }
}
