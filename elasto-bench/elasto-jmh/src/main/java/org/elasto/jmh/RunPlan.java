package org.elasto.jmh;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Pattern;
import java.util.regex.PatternSyntaxException;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimatorProvider;
import org.elasto.api.plugin.FrameHoldingEstimator;
import org.elasto.jmh.benchmark.FloorProfiler;
import org.elasto.jmh.benchmark.Scan;
import org.elasto.peers.PeerProvider;
import org.openjdk.jmh.profile.GCProfiler;
import org.openjdk.jmh.runner.BenchmarkList;
import org.openjdk.jmh.runner.BenchmarkListEntry;
import org.openjdk.jmh.runner.options.ChainedOptionsBuilder;
import org.openjdk.jmh.runner.options.OptionsBuilder;
import org.openjdk.jmh.runner.options.TimeValue;

/**
 * One round of benchmarks: which, and with what. What is there to choose from is asked of the
 * catalogue and of JMH's own list, so that new plugins and new benchmarks are covered by
 * themselves.
 */
final class RunPlan {

    /** What the user asked for; empty where the form decides. */
    record Wishes(
            String only,
            List<String> estimators,
            List<String> sessions,
            List<String> sizes,
            List<String> workers,
            int forks) {}

    private static final String MIDDLE = "128x2337";
    private static final List<String> OTHERS = List.of("64x1024", "256x4096");
    private static final ScanGeometry SMALL =
            ScanGeometry.linear(16, 1024, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private final List<BenchmarkListEntry> benchmarks;
    private final Map<String, List<String>> choices;
    private final boolean full;
    private final int forks;

    private RunPlan(
            List<BenchmarkListEntry> benchmarks,
            Map<String, List<String>> choices,
            boolean full,
            int forks) {
        this.benchmarks = benchmarks;
        this.choices = choices;
        this.full = full;
        this.forks = forks;
    }

    /**
     * The rounds of a run.
     *
     * @throws IllegalArgumentException if nothing is left to run or a wish cannot be understood
     */
    static List<RunPlan> of(boolean full, Wishes wishes) {
        List<BenchmarkListEntry> benchmarks = benchmarks(wishes.only());
        wishes.sizes().forEach(Scan::dimensions);
        for (String workers : wishes.workers()) {
            if (!workers.matches("[1-9][0-9]{0,2}")) {
                throw new IllegalArgumentException(
                        "workers is '" + workers + "'; it must be 1 to 999");
            }
        }
        List<RunPlan> plans = new ArrayList<>();
        if (full || !wishes.sizes().isEmpty()) {
            List<String> sizes = new ArrayList<>(OTHERS);
            sizes.add(1, MIDDLE);
            plans.add(plan(benchmarks, full, wishes, sizes, List.of("1", "2"), true));
        } else {
            plans.add(plan(benchmarks, false, wishes, List.of(MIDDLE), List.of("1", "2"), true));
            plans.add(plan(benchmarks, false, wishes, OTHERS, List.of("1"), false));
        }
        return plans;
    }

    private static RunPlan plan(
            List<BenchmarkListEntry> benchmarks,
            boolean full,
            Wishes wishes,
            List<String> sizes,
            List<String> workers,
            boolean peers) {
        Map<String, List<String>> choices = new LinkedHashMap<>();
        choices.put("size", wishes.sizes().isEmpty() ? sizes : wishes.sizes());
        choices.put("workers", wishes.workers().isEmpty() ? workers : wishes.workers());
        choices.put(
                "tracker", wishes.estimators().isEmpty() ? trackers(peers) : wishes.estimators());
        choices.put("holder", holders(wishes));
        choices.put("differentiator", Catalogue.strainEstimators().names());
        choices.put("metric", Catalogue.qualityMetrics().names());
        List<String> sessions = new ArrayList<>(wishes.sessions());
        if (sessions.isEmpty()) {
            sessions.addAll(full ? trackers(false) : List.of("preferred"));
        }
        choices.put("session", sessions);
        int forks = wishes.forks() > 0 ? wishes.forks() : full ? 3 : 1;
        return new RunPlan(benchmarks, choices, full, forks);
    }

    private static List<BenchmarkListEntry> benchmarks(String only) {
        Pattern pattern;
        try {
            pattern = Pattern.compile(only);
        } catch (PatternSyntaxException e) {
            throw new IllegalArgumentException(
                    "only is '" + only + "', which is no regular expression", e);
        }
        List<BenchmarkListEntry> all =
                List.copyOf(
                        BenchmarkList.defaultList()
                                .getAll(new ProgressLines(null, 0, 0), List.of()));
        List<BenchmarkListEntry> chosen =
                all.stream().filter(b -> pattern.matcher(b.getUsername()).find()).toList();
        if (chosen.isEmpty()) {
            throw new IllegalArgumentException(
                    "only is '"
                            + only
                            + "', which matches none of: "
                            + String.join(
                                    ", ",
                                    all.stream().map(BenchmarkListEntry::getUsername).toList()));
        }
        return chosen;
    }

    /** Ours, and of general-purpose libraries every setting that they want to be compared in. */
    private static List<String> trackers(boolean peers) {
        List<String> names = new ArrayList<>();
        for (DisplacementEstimatorProvider<?> provider :
                Catalogue.displacementEstimators().providers()) {
            if (!(provider instanceof PeerProvider<?> peer)) {
                names.add(provider.name());
            } else if (peers) {
                peer.settings().forEach(s -> names.add(peer.name() + ":" + s));
            }
        }
        return names;
    }

    private static List<String> holders(Wishes wishes) {
        List<String> names = new ArrayList<>();
        for (DisplacementEstimatorProvider<?> provider :
                Catalogue.displacementEstimators().providers()) {
            boolean wanted =
                    wishes.estimators().isEmpty() || wishes.estimators().contains(provider.name());
            if (wanted
                    && Catalogue.create(provider, "", SMALL, Workers.sequential())
                            instanceof FrameHoldingEstimator) {
                names.add(provider.name());
            }
        }
        return names;
    }

    /** Number of benchmarks with all that is to be chosen. */
    int count() {
        int count = 0;
        for (BenchmarkListEntry benchmark : runnable()) {
            int product = 1;
            for (String parameter : benchmark.getParams().orElse(Map.of()).keySet()) {
                product *= choices.get(parameter).size();
            }
            count += product;
        }
        return count;
    }

    /** Without those for which there is nothing to choose. */
    private List<BenchmarkListEntry> runnable() {
        return benchmarks.stream()
                .filter(
                        b ->
                                b.getParams().orElse(Map.of()).keySet().stream()
                                        .noneMatch(p -> choices.get(p).isEmpty()))
                .toList();
    }

    ChainedOptionsBuilder options() {
        ChainedOptionsBuilder options = new OptionsBuilder();
        for (BenchmarkListEntry benchmark : runnable()) {
            options.include("^" + Pattern.quote(benchmark.getUsername()) + "$");
        }
        choices.forEach(
                (name, values) -> {
                    if (!values.isEmpty()) {
                        options.param(name, values.toArray(String[]::new));
                    }
                });
        // The floor goes around the count of bytes, which must not see what it allocates.
        return options.forks(forks)
                // HotSpot goes on compiling a tracker's many small loops for some 500 frames.
                .warmupIterations(10)
                .warmupTime(TimeValue.milliseconds(500))
                .measurementIterations(full ? 8 : 5)
                .measurementTime(TimeValue.milliseconds(full ? 500 : 300))
                .addProfiler(FloorProfiler.class)
                .addProfiler(GCProfiler.class)
                .shouldDoGC(true);
    }
}
