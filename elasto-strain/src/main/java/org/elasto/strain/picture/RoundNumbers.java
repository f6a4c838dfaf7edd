package org.elasto.strain.picture;

import java.util.Locale;

/** Round numbers for scales. */
final class RoundNumbers {

    private static final double[] ROUND = {1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10};

    /** What a round number may lose by being held in a float. */
    private static final double ROUNDING = 1e-6;

    private RoundNumbers() {}

    /** The smallest round number that is not below a positive one. */
    static double ceiling(double value) {
        double power = Math.pow(10, Math.floor(Math.log10(value)));
        for (double round : ROUND) {
            if (round * power >= value * (1 - ROUNDING)) {
                return round * power;
            }
        }
        return 10 * power;
    }

    /**
     * The smallest of 1, 2, 5, 10, ... times a power of ten that is not below a positive number.
     */
    static double step(double smallest) {
        double power = Math.pow(10, Math.floor(Math.log10(smallest)));
        for (double round : new double[] {1, 2, 5}) {
            if (round * power >= smallest * (1 - ROUNDING)) {
                return round * power;
            }
        }
        return 10 * power;
    }

    /** A number with as many decimals as a step needs. */
    static String text(double value, double step) {
        String text = String.format(Locale.ROOT, "%." + decimals(step) + "f", value + 0.0);
        return text.replace('-', '\u2212');
    }

    /** The number that {@link #text} shows. */
    static double rounded(double value, double step) {
        double power = Math.pow(10, decimals(step));
        return Math.rint(value * power) / power;
    }

    private static int decimals(double step) {
        return (int) Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
    }
}
