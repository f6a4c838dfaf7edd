package org.elasto.jmh.benchmark;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.function.DoubleSupplier;
import org.elasto.api.Workers;
import org.openjdk.jmh.infra.BenchmarkParams;
import org.openjdk.jmh.infra.IterationParams;
import org.openjdk.jmh.profile.InternalProfiler;
import org.openjdk.jmh.results.AggregationPolicy;
import org.openjdk.jmh.results.IterationResult;
import org.openjdk.jmh.results.Result;
import org.openjdk.jmh.results.ScalarResult;

/**
 * Measures the {@link Floor} right before and right after every iteration, in the same process, for
 * the same size and number of workers, and adds it to the results together with what the benchmark
 * states about itself. The machine's mood at that moment then divides out.
 */
public final class FloorProfiler implements InternalProfiler {

    /** Name of the floor's time (ms) in the results. */
    public static final String FLOOR = "floor-ms";

    private static final long EACH_SIDE_NANOS = 25_000_000;
    private static final long WARM_UP_NANOS = 150_000_000;

    private Floor floor;
    private long passes;
    private long nanos;

    /** Called by the benchmark driver. */
    public FloorProfiler() {}

    @Override
    public String getDescription() {
        return "time of the floor around every iteration, and facts about the benchmark";
    }

    @Override
    public void beforeIteration(BenchmarkParams benchmark, IterationParams iteration) {
        if (floor == null) {
            int[] dimensions = Scan.dimensions(benchmark.getParam("size"));
            int workers = Integer.parseInt(benchmark.getParam("workers"));
            floor = new Floor(dimensions[0], dimensions[1], Workers.threads(workers));
            measure(WARM_UP_NANOS);
        }
        passes = 0;
        nanos = 0;
        measure(EACH_SIDE_NANOS);
    }

    @Override
    public Collection<? extends Result<?>> afterIteration(
            BenchmarkParams benchmark, IterationParams iteration, IterationResult result) {
        measure(EACH_SIDE_NANOS);
        List<Result<?>> results = new ArrayList<>();
        results.add(scalar(FLOOR, nanos * 1e-6 / passes));
        for (Map.Entry<String, DoubleSupplier> fact : Facts.all().entrySet()) {
            results.add(scalar(fact.getKey(), fact.getValue().getAsDouble()));
        }
        return results;
    }

    private void measure(long atLeast) {
        long start = System.nanoTime();
        long now = start;
        while (now - start < atLeast) {
            floor.pass();
            passes++;
            now = System.nanoTime();
        }
        nanos += now - start;
    }

    private static Result<?> scalar(String name, double value) {
        String unit = name.substring(name.lastIndexOf('-') + 1);
        return new ScalarResult(name, value, unit, AggregationPolicy.AVG);
    }
}
