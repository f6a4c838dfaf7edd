package org.elasto.jmh.result;

import java.util.Arrays;
import java.util.Map;

/**
 * What was measured of one benchmark under one set of parameters. Immutable by agreement: nobody
 * writes into its arrays.
 *
 * @param benchmark such as {@code Displacement.pair}
 * @param size such as {@code 128x2337}
 * @param workers number of workers
 * @param choice the plugin that was measured; empty if the benchmark has none
 * @param milliseconds mean time of a call in each iteration of each fork (ms)
 * @param floor mean time of the floor around each iteration of each fork (ms), in the same shape
 * @param facts whatever else the results hold, by name
 */
public record Timing(
        String benchmark,
        String size,
        int workers,
        String choice,
        double[][] milliseconds,
        double[][] floor,
        Map<String, Double> facts) {

    /**
     * What tells this timing from all others of a run.
     *
     * @return one line of text
     */
    public String key() {
        return label() + ", " + size + ", " + workers + (workers == 1 ? " worker" : " workers");
    }

    /**
     * Benchmark and choice.
     *
     * @return one line of text
     */
    public String label() {
        return choice.isEmpty() ? benchmark : benchmark + " " + choice;
    }

    /**
     * Median time of a call over all iterations.
     *
     * @return time (ms)
     */
    public double medianMilliseconds() {
        return median(Arrays.stream(milliseconds).flatMapToDouble(Arrays::stream).toArray());
    }

    /**
     * Median over all iterations of the time in multiples of the floor's at that moment.
     *
     * @return multiples
     */
    public double medianFloors() {
        return median(Arrays.stream(floors()).flatMapToDouble(Arrays::stream).toArray());
    }

    /**
     * Time of each iteration of each fork in multiples of the floor's at that moment.
     *
     * @return a new array in the shape of {@link #milliseconds}
     */
    public double[][] floors() {
        double[][] ratios = new double[milliseconds.length][];
        for (int fork = 0; fork < ratios.length; fork++) {
            ratios[fork] = new double[milliseconds[fork].length];
            for (int i = 0; i < ratios[fork].length; i++) {
                ratios[fork][i] = milliseconds[fork][i] / floor[fork][i];
            }
        }
        return ratios;
    }

    /**
     * Samples of a frame.
     *
     * @return lines times samples a line
     */
    public double samples() {
        String[] parts = size.split("x");
        return Double.parseDouble(parts[0]) * Double.parseDouble(parts[1]);
    }

    /**
     * A fact.
     *
     * @param name its name
     * @return its value; NaN if it is not known
     */
    public double fact(String name) {
        return facts.getOrDefault(name, Double.NaN);
    }

    private static double median(double[] values) {
        Arrays.sort(values);
        int n = values.length;
        return (values[(n - 1) / 2] + values[n / 2]) / 2;
    }
}
