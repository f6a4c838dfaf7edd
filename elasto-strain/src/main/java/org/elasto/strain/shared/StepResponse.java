package org.elasto.strain.shared;

import java.util.Arrays;

/** The response of a slope to a step of strain. Stateless and thread-safe. */
public final class StepResponse {

    private StepResponse() {}

    /**
     * Depth over which the response rises from 10 % to 90 %.
     *
     * <p>A slope is a weighted mean of the strains between neighbouring rows; the one from row j to
     * j + 1 weighs as much as all rows below it together. The response is the running sum of these
     * weights, a straight line between rows and symmetric about the middle.
     *
     * @param weights what each row counts in the slope (1/m), odd about the middle one
     * @param spacing distance between rows (m)
     * @return depth (m)
     */
    public static double width(double[] weights, double spacing) {
        double response = 0;
        double below = Arrays.stream(weights).sum();
        for (int j = 0; j < weights.length - 1; j++) {
            below -= weights[j];
            double step = below * spacing;
            if (response < 0.1 && response + step >= 0.1) {
                double from = j - weights.length / 2 + (0.1 - response) / step;
                return -2 * from * spacing;
            }
            response += step;
        }
        throw new IllegalStateException("a slope whose weights do not add up to 1");
    }

    /**
     * The same, from what an estimator made of a step.
     *
     * @param strain strain row by row
     * @param low strain above the step
     * @param high strain below the step
     * @return rows, with their fraction, from where strain first passes 10 % to where it first
     *     passes 90 %
     */
    public static double seen(double[] strain, double low, double high) {
        return crossing(strain, low, high, 0.9) - crossing(strain, low, high, 0.1);
    }

    private static double crossing(double[] strain, double low, double high, double part) {
        double before = 0;
        for (int r = 0; r < strain.length; r++) {
            double response = (strain[r] - low) / (high - low);
            if (r > 0 && before < part && response >= part) {
                return r - 1 + (part - before) / (response - before);
            }
            before = response;
        }
        throw new IllegalArgumentException("the step response never reaches " + part);
    }
}
