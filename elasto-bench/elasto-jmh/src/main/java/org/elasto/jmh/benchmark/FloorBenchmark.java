package org.elasto.jmh.benchmark;

import java.util.concurrent.TimeUnit;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;

/** The {@link Floor} as a benchmark of its own. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
public class FloorBenchmark {

    private Floor floor;

    /**
     * Makes it.
     *
     * @param scan size and workers
     */
    @Setup
    public void make(Scan scan) {
        floor = new Floor(scan.geometry().lines(), scan.geometry().samples(), scan.threads());
    }

    /**
     * One pass.
     *
     * @return what was written
     */
    @Benchmark
    public float[] floor() {
        return floor.pass();
    }
}
