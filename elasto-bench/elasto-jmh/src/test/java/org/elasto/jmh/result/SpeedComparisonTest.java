package org.elasto.jmh.result;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.apache.commons.math3.distribution.TDistribution;
import org.apache.commons.math3.stat.inference.TTest;
import org.elasto.jmh.result.SpeedComparison.Ratio;
import org.elasto.jmh.result.SpeedComparison.Verdict;
import org.junit.jupiter.api.Test;

class SpeedComparisonTest {

    private static final double[] FLOOR = {1, 1, 1, 1};

    private static Timing timing(String name, double[]... milliseconds) {
        double[][] floor = new double[milliseconds.length][];
        for (int i = 0; i < floor.length; i++) {
            floor[i] = FLOOR.clone();
        }
        return new Timing(name, "128x2337", 1, "", milliseconds, floor, Map.of());
    }

    private static SpeedComparison compare(Timing before, Timing after) {
        return new SpeedComparison(List.of(before), List.of(after), 0.95, 0.05);
    }

    /**
     * Worked by hand: logarithms of e^(0, 0.02, 0.04, 0.06) have the mean 0.03 and the variance
     * 2/3e-3; twice that over four is the square of the standard error, 1/3e-3; both variances
     * being equal Welch's degrees of freedom are 2 (4 - 1) = 6, and Student's t table has 2.447 for
     * 95 %.
     */
    @Test
    void intervalIsWelchs() {
        double[] x = {1, Math.exp(0.02), Math.exp(0.04), Math.exp(0.06)};
        double[] y = new double[4];
        for (int i = 0; i < 4; i++) {
            y[i] = x[i] * 1.2;
        }
        Ratio ratio = compare(timing("A.a", x), timing("A.a", y)).ratios().get(0);
        double half = 2.447 * Math.sqrt(1e-3 / 3);
        assertEquals(1.2, ratio.ratio(), 1e-12);
        assertEquals(1.2 * Math.exp(-half), ratio.low(), 1e-4);
        assertEquals(1.2 * Math.exp(half), ratio.high(), 1e-4);
        assertEquals(Verdict.SLOWER, ratio.verdict());
    }

    /** Commons Math's own Welch test gives the level at which the interval just touches 1. */
    @Property(tries = 30, seed = "501")
    void agreesWithCommonsMath(@ForAll long seed, @ForAll @IntRange(min = 2, max = 12) int count) {
        Random random = new Random(seed);
        Timing before = MadeUp.timing("A.a", 1, count, 3, 1, 0.05, random);
        Timing after = MadeUp.timing("A.a", 1, count + 2, 3.2, 1, 0.1, random);
        double[] x = logarithms(before);
        double[] y = logarithms(after);
        double p = new TTest().tTest(x, y);
        double level = Math.max(0.5, Math.min(1 - 1e-9, 1 - p));
        if (level != 1 - p) {
            return;
        }
        Ratio ratio =
                new SpeedComparison(List.of(before), List.of(after), level, 0).ratios().get(0);
        double touching = ratio.ratio() > 1 ? ratio.low() : ratio.high();
        assertEquals(1, touching, 1e-6);
    }

    private static double[] logarithms(Timing timing) {
        double[] values = timing.floors()[0];
        for (int i = 0; i < values.length; i++) {
            values[i] = Math.log(values[i]);
        }
        return values;
    }

    /** A machine three times slower, in a mood that wanders by half: the code is the same. */
    @Test
    void slowerMachineIsNotSlowerCode() {
        Random random = new Random(7);
        Timing before = MadeUp.timing("A.a", 3, 8, 2.5, 1, 0.01, random);
        Timing after = MadeUp.timing("A.a", 3, 8, 2.5, 3, 0.01, random);
        assertTrue(after.medianMilliseconds() > 2 * before.medianMilliseconds());
        Ratio ratio = compare(before, after).ratios().get(0);
        assertEquals(1, ratio.ratio(), 0.02);
        assertEquals(Verdict.SAME, ratio.verdict());
    }

    @Test
    void knownChangesAreFlagged() {
        Random random = new Random(8);
        List<Timing> before = new ArrayList<>();
        List<Timing> after = new ArrayList<>();
        for (double factor : new double[] {1.2, 1, 0.8, 1.02}) {
            String name = "A.x" + factor;
            before.add(MadeUp.timing(name, 4, 8, 5, 1, 0.01, random));
            after.add(MadeUp.timing(name, 4, 8, 5 * factor, 1, 0.01, random));
        }
        SpeedComparison comparison = new SpeedComparison(before, after, 0.95, 0.05);
        assertEquals(
                List.of(Verdict.SLOWER, Verdict.SAME, Verdict.FASTER, Verdict.SAME),
                comparison.ratios().stream().map(Ratio::verdict).toList());
        assertEquals(List.of("A.x1.2, 128x2337, 1 worker"), keys(comparison.slower()));
        assertEquals(1.2, comparison.ratios().get(0).ratio(), 0.02);
        assertEquals(0.8, comparison.ratios().get(2).ratio(), 0.02);
        assertFalse(comparison.fewForks());
    }

    private static List<String> keys(List<Ratio> ratios) {
        return ratios.stream().map(Ratio::key).toList();
    }

    /**
     * Of 400 comparisons of 20 equal benchmarks at 95 % without tolerance, with one fork and with
     * several, at most 20 are expected to raise an alarm; more than 33 has a probability of 1 in
     * 1000 (binomial) if it is 20. SciPy's ttest_ind of made-up numbers, Welch's form, gave 10 to
     * 16 in 400 for 3 to 12 values a run.
     */
    @Property(tries = 3, seed = "502")
    void noiseAloneIsSeldomFlagged(
            @ForAll long seed, @ForAll @DoubleRange(min = 0.01, max = 0.3) double noise) {
        Random random = new Random(seed);
        int alarms = 0;
        int trials = 0;
        for (int forks : new int[] {1, 2, 3, 5}) {
            for (int trial = 0; trial < 100; trial++, trials++) {
                List<Timing> before = new ArrayList<>();
                List<Timing> after = new ArrayList<>();
                for (int i = 0; i < 20; i++) {
                    before.add(MadeUp.timing("A.a" + i, forks, 6, 3, 1, noise, random));
                    after.add(MadeUp.timing("A.a" + i, forks, 6, 3, 1, noise, random));
                }
                SpeedComparison comparison = new SpeedComparison(before, after, 0.95, 0);
                alarms +=
                        comparison.ratios().stream().allMatch(r -> r.verdict() == Verdict.SAME)
                                ? 0
                                : 1;
            }
        }
        assertEquals(400, trials);
        assertTrue(alarms <= 33, alarms + " of " + trials);
    }

    /** What differs between forks alone is noise too: three forks apart by 20 % prove nothing. */
    @Test
    void forksCountAsOneEach() {
        double[] low = {1, 1.001, 1.002, 1.001};
        double[] middle = {1.2, 1.201, 1.202, 1.201};
        double[] high = {1.4, 1.401, 1.402, 1.401};
        SpeedComparison comparison =
                compare(timing("A.a", low, low, middle), timing("A.a", low, high, middle));
        assertEquals(Verdict.SAME, comparison.ratios().get(0).verdict());
        SpeedComparison pooled = compare(timing("A.a", low), timing("A.a", middle));
        assertEquals(Verdict.SLOWER, pooled.ratios().get(0).verdict());
        assertTrue(pooled.fewForks());
    }

    @Test
    void moreBenchmarksWidenTheIntervals() {
        Random random = new Random(9);
        List<Timing> before = new ArrayList<>();
        for (int i = 0; i < 10; i++) {
            before.add(MadeUp.timing("A.a" + i, 1, 8, 5, 1, 0.02, random));
        }
        Ratio alone = compare(before.get(0), before.get(0)).ratios().get(0);
        Ratio amongTen = new SpeedComparison(before, before, 0.95, 0).ratios().get(0);
        // Both runs have 8 iterations and the same variance: 14 degrees of freedom.
        TDistribution t = new TDistribution(null, 14);
        double expected =
                t.inverseCumulativeProbability(1 - 0.0025) / t.inverseCumulativeProbability(0.975);
        assertEquals(expected, Math.log(amongTen.high()) / Math.log(alone.high()), 1e-9);
    }

    @Test
    void whatOneRunLacksIsNamed() {
        Random random = new Random(10);
        Timing a = MadeUp.timing("A.a", 1, 3, 1, 1, 0.1, random);
        Timing b = MadeUp.timing("B.b", 1, 3, 1, 1, 0.1, random);
        Timing c = MadeUp.timing("C.c", 1, 3, 1, 1, 0.1, random);
        SpeedComparison comparison = new SpeedComparison(List.of(a, b), List.of(b, c), 0.95, 0);
        assertEquals(List.of("A.a, 128x2337, 1 worker"), comparison.onlyOld());
        assertEquals(List.of("C.c, 128x2337, 1 worker"), comparison.onlyNew());
        assertEquals(1, comparison.ratios().size());
        refuses("nothing in common|no benchmark in common", List.of(a), List.of(b), 0.95, 0);
        refuses("twice", List.of(a, a), List.of(a), 0.95, 0);
        refuses("level is 1.0", List.of(a), List.of(a), 1, 0);
        refuses("tolerance is -1.0", List.of(a), List.of(a), 0.95, -1);
        Timing once = MadeUp.timing("A.a", 1, 1, 1, 1, 0.1, random);
        refuses("measured once", List.of(once), List.of(once), 0.95, 0);
    }

    private static void refuses(
            String words, List<Timing> x, List<Timing> y, double level, double tolerance) {
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> new SpeedComparison(x, y, level, tolerance))
                        .getMessage();
        assertTrue(message.matches(".*(" + words + ").*"), message);
    }
}
