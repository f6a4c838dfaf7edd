package org.elasto.jmh.result;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.apache.commons.math3.distribution.TDistribution;
import org.apache.commons.math3.stat.StatUtils;

/**
 * Compares two runs. A time is taken in multiples of the floor that was measured around the same
 * iteration, so that a slower machine, or a busy hour, does not look like slower code.
 *
 * <p>The ratio is that of geometric means. Its interval is Welch's (Biometrika 34:28-35, 1947) on
 * the logarithms, from the means of the forks if either run has three or more of them and else from
 * the iterations; then what differs from fork to fork, such as the order in which the compiler took
 * things, is not in it. All intervals together hold with the given probability (Bonferroni), so
 * that a long list raises no more false alarms than a short one.
 *
 * <p>Immutable and thread-safe.
 */
public final class SpeedComparison {

    /** What has become of a benchmark. */
    public enum Verdict {
        /** Slower by more than noise and tolerance. */
        SLOWER,
        /** Faster by more than noise and tolerance. */
        FASTER,
        /** Neither can be said. */
        SAME
    }

    /**
     * One benchmark in both runs.
     *
     * @param key which
     * @param ratio time of the new run over that of the old one, both in floors
     * @param low lower end of the interval
     * @param high upper end of the interval
     * @param verdict what that means
     */
    public record Ratio(String key, double ratio, double low, double high, Verdict verdict) {}

    private final List<Ratio> ratios = new ArrayList<>();
    private final List<String> onlyOld = new ArrayList<>();
    private final List<String> onlyNew = new ArrayList<>();
    private final boolean fewForks;

    /**
     * Compares.
     *
     * @param before the old run
     * @param after the new run
     * @param level probability that all intervals hold, 0.5 to below 1
     * @param tolerance change that is nobody's concern, as a share, 0 or more
     * @throws IllegalArgumentException if the runs have nothing in common, a benchmark stands in a
     *     run twice or was measured only once, or a number is out of range
     */
    public SpeedComparison(
            List<Timing> before, List<Timing> after, double level, double tolerance) {
        if (!(level >= 0.5 && level < 1)) {
            throw new IllegalArgumentException("level is " + level + "; it must be 0.5 to below 1");
        }
        if (!(tolerance >= 0 && tolerance < 10)) {
            throw new IllegalArgumentException(
                    "tolerance is " + tolerance + "; it must be 0 to below 10");
        }
        Map<String, Timing> old = byKey(before, "old");
        Map<String, Timing> fresh = byKey(after, "new");
        onlyOld.addAll(old.keySet());
        onlyOld.removeAll(fresh.keySet());
        onlyNew.addAll(fresh.keySet());
        onlyNew.removeAll(old.keySet());
        old.keySet().retainAll(fresh.keySet());
        if (old.isEmpty()) {
            throw new IllegalArgumentException("the two runs have no benchmark in common");
        }
        boolean few = false;
        double error = (1 - level) / old.size();
        for (Map.Entry<String, Timing> entry : old.entrySet()) {
            Timing other = fresh.get(entry.getKey());
            boolean byFork = isByFork(entry.getValue()) && isByFork(other);
            few |= !byFork;
            double[] x = logarithms(entry.getValue(), byFork);
            double[] y = logarithms(other, byFork);
            ratios.add(ratio(entry.getKey(), x, y, error, tolerance));
        }
        fewForks = few;
    }

    private static Map<String, Timing> byKey(List<Timing> timings, String which) {
        Map<String, Timing> map = new LinkedHashMap<>();
        for (Timing timing : timings) {
            if (map.put(timing.key(), timing) != null) {
                throw new IllegalArgumentException(
                        "the " + which + " run has '" + timing.key() + "' twice");
            }
        }
        return map;
    }

    private static boolean isByFork(Timing timing) {
        return timing.milliseconds().length >= 3;
    }

    private static double[] logarithms(Timing timing, boolean byFork) {
        double[][] floors = timing.floors();
        for (double[] fork : floors) {
            Arrays.setAll(fork, i -> Math.log(fork[i]));
        }
        double[] values =
                byFork
                        ? Arrays.stream(floors).mapToDouble(StatUtils::mean).toArray()
                        : Arrays.stream(floors).flatMapToDouble(Arrays::stream).toArray();
        if (values.length < 2) {
            throw new IllegalArgumentException(
                    "'" + timing.key() + "' was measured once; a comparison needs 2 iterations");
        }
        return values;
    }

    private static Ratio ratio(String key, double[] x, double[] y, double error, double tolerance) {
        double difference = StatUtils.mean(y) - StatUtils.mean(x);
        double a = StatUtils.variance(x) / x.length;
        double b = StatUtils.variance(y) / y.length;
        double half = 0;
        if (a + b > 0) {
            double freedom = (a + b) * (a + b) / (a * a / (x.length - 1) + b * b / (y.length - 1));
            double quantile =
                    new TDistribution(null, freedom).inverseCumulativeProbability(1 - error / 2);
            half = quantile * Math.sqrt(a + b);
        }
        double low = Math.exp(difference - half);
        double high = Math.exp(difference + half);
        Verdict verdict =
                low > 1 + tolerance
                        ? Verdict.SLOWER
                        : high < 1 / (1 + tolerance) ? Verdict.FASTER : Verdict.SAME;
        return new Ratio(key, Math.exp(difference), low, high, verdict);
    }

    /**
     * Every benchmark that both runs have, in the order of the old one.
     *
     * @return an immutable list
     */
    public List<Ratio> ratios() {
        return List.copyOf(ratios);
    }

    /**
     * What became slower.
     *
     * @return an immutable list, empty if nothing did
     */
    public List<Ratio> slower() {
        return ratios.stream().filter(r -> r.verdict() == Verdict.SLOWER).toList();
    }

    /**
     * Benchmarks that the old run alone has.
     *
     * @return their keys
     */
    public List<String> onlyOld() {
        return List.copyOf(onlyOld);
    }

    /**
     * Benchmarks that the new run alone has.
     *
     * @return their keys
     */
    public List<String> onlyNew() {
        return List.copyOf(onlyNew);
    }

    /**
     * Whether some interval knows nothing of the noise between forks.
     *
     * @return true if a run had fewer than three forks
     */
    public boolean fewForks() {
        return fewForks;
    }
}
