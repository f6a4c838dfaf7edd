package org.elasto.jmh.result;

import java.util.Locale;
import java.util.Map;
import java.util.Random;

/** Made-up results whose answer is known. */
public final class MadeUp {

    private MadeUp() {}

    /**
     * Times that scatter, on a machine whose speed wanders between iterations: all times and floors
     * of an iteration are slowed by the same factor.
     */
    public static Timing timing(
            String benchmark,
            int forks,
            int iterations,
            double milliseconds,
            double machine,
            double noise,
            Random random) {
        double[][] times = new double[forks][iterations];
        double[][] floor = new double[forks][iterations];
        for (int fork = 0; fork < forks; fork++) {
            for (int i = 0; i < iterations; i++) {
                double mood = machine * Math.exp(0.5 * random.nextGaussian());
                times[fork][i] = milliseconds * mood * Math.exp(noise * random.nextGaussian());
                floor[fork][i] = 0.25 * mood * Math.exp(noise * random.nextGaussian());
            }
        }
        return new Timing(benchmark, "128x2337", 1, "", times, floor, Map.of());
    }

    /** The timing as JMH writes it. */
    public static String json(Timing timing, String unit) {
        return String.format(
                Locale.ROOT,
                """
                {"benchmark": "org.elasto.jmh.benchmark.%s",
                 "params": {"size": "%s", "workers": "%d"},
                 "primaryMetric": {"score": 1, "scoreUnit": "%s", "rawData": %s},
                 "secondaryMetrics": {
                   "floor-ms": {"score": 1, "rawData": %s},
                   "error-um": {"score": 0.25, "rawData": [[0.25]]},
                   "gc.alloc.rate.norm": {"score": "NaN", "rawData": [["NaN"]]}}}""",
                timing.benchmark().replace(".", "Benchmark."),
                timing.size(),
                timing.workers(),
                unit,
                java.util.Arrays.deepToString(timing.milliseconds()),
                java.util.Arrays.deepToString(timing.floor()));
    }
}
