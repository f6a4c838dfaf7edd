package org.elasto.api.signal;

/**
 * Low-pass filters of odd length: Kaiser-windowed sincs (Kaiser, 1974, as given in the handbooks of
 * digital filters).
 */
final class KaiserLowPass {

    private KaiserLowPass() {}

    /**
     * Taps to either side of the middle one that a filter needs.
     *
     * @param transition width over which it falls, in cycles a sample
     * @param stopBand how far the stop band is down (dB), at least 21
     * @return a whole number, at least 1; infinite for a transition of 0
     */
    static double halfLength(double transition, double stopBand) {
        return Math.ceil((stopBand - 7.95) / (2.285 * 2 * Math.PI * transition) / 2);
    }

    /**
     * The taps, of unit gain at 0.
     *
     * @param cutOff frequency of half the gain, in cycles a sample
     * @param half taps to either side of the middle one
     * @param stopBand how far the stop band is down (dB), at least 21
     */
    static double[] taps(double cutOff, int half, double stopBand) {
        double beta = beta(stopBand);
        double[] h = new double[2 * half + 1];
        double sum = 0;
        for (int j = -half; j <= half; j++) {
            double sinc = j == 0 ? 2 * cutOff : Math.sin(2 * Math.PI * cutOff * j) / (Math.PI * j);
            double r = (double) j / half;
            h[j + half] = sinc * besselI0(beta * Math.sqrt(1 - r * r)) / besselI0(beta);
            sum += h[j + half];
        }
        for (int j = 0; j < h.length; j++) {
            h[j] /= sum;
        }
        return h;
    }

    /** Kaiser's rule for the shape of the window. */
    private static double beta(double stopBand) {
        return stopBand > 50
                ? 0.1102 * (stopBand - 8.7)
                : 0.5842 * Math.pow(stopBand - 21, 0.4) + 0.07886 * (stopBand - 21);
    }

    /** Modified Bessel function of the first kind and order 0, by its power series. */
    private static double besselI0(double x) {
        double term = 1;
        double sum = 1;
        for (int k = 1; term > 1e-16 * sum; k++) {
            term *= (x / (2 * k)) * (x / (2 * k));
            sum += term;
        }
        return sum;
    }
}
