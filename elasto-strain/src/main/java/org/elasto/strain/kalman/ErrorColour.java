package org.elasto.strain.kalman;

import java.util.Arrays;

/**
 * What the smoother makes of errors that go together from row to row, compared with independent
 * ones of the same strength at long waves, which is what it takes them for.
 *
 * <p>Far from the ends of a line and with even deviations the smoother is the filter of Wiener with
 * the cross spectrum of strain and displacement over the spectrum of displacement and errors. Its
 * response to errors of either colour is summed over all waves, for a table of how strong errors
 * are against the walk of strain.
 */
final class ErrorColour {

    private static final int WAVES = 600;
    private static final double LEAST = -6;
    private static final double STEP = 0.25;
    private static final int ENTRIES = 89;

    private final double strength;
    private final double[] factor = new double[ENTRIES];

    /**
     * Makes the table.
     *
     * @param lags correlation of the errors of rows 1, 2, ... apart
     */
    ErrorColour(double[] lags) {
        strength = 1 + 2 * Arrays.stream(lags).sum();
        double[] wave = new double[WAVES];
        double[] colour = new double[WAVES];
        for (int i = 0; i < WAVES; i++) {
            wave[i] = Math.PI * Math.pow(10, -5.5 * (1 - i / (WAVES - 1.0)));
            double sum = 1;
            for (int d = 1; d <= lags.length; d++) {
                sum += 2 * lags[d - 1] * Math.cos(wave[i] * d);
            }
            colour[i] = Math.max(0, sum) / strength;
        }
        for (int entry = 0; entry < ENTRIES; entry++) {
            double ratio = Math.pow(10, LEAST + entry * STEP);
            double white = 0;
            double coloured = 0;
            for (int i = 1; i < WAVES; i++) {
                double gain = gain(wave[i], ratio) * (wave[i] - wave[i - 1]);
                white += gain;
                coloured += gain * colour[i];
            }
            factor[entry] = Math.sqrt(coloured / white);
        }
    }

    /**
     * Squared response of strain, times row spacing, to displacement errors.
     *
     * @param wave angular frequency over rows
     * @param ratio variance of errors over {@code q h³}
     */
    private static double gain(double wave, double ratio) {
        // With d = z - 1 the model says e = w2/d and u = (h e + w1)/d for noise w. Times |d|^4, the
        // spectrum of u is |d|²/3 + Re d + 1, and the cross spectrum d (1 + d*/2).
        double re = Math.cos(wave) - 1;
        double im = Math.sin(wave);
        double d2 = re * re + im * im;
        double own = d2 / 3 + re + 1;
        double cross = d2 * ((1 + re / 2) * (1 + re / 2) + im * im / 4);
        double whole = own + ratio * d2 * d2;
        return cross / (whole * whole);
    }

    /**
     * Variance of independent errors that are as strong at long waves, for errors of variance 1.
     */
    double strength() {
        return strength;
    }

    /**
     * Deviation of strain over the one that independent errors of that strength would cause.
     *
     * @param ratio their variance over {@code q h³}
     */
    double factor(double ratio) {
        double place = (Math.log10(ratio) - LEAST) / STEP;
        place = Math.max(0, Math.min(ENTRIES - 1.000001, place));
        int entry = (int) place;
        double part = place - entry;
        return (1 - part) * factor[entry] + part * factor[entry + 1];
    }
}
