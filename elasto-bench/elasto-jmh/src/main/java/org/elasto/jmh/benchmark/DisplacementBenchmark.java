package org.elasto.jmh.benchmark;

import java.util.concurrent.TimeUnit;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.plugin.DisplacementEstimator;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;

/** A displacement estimator on one pair of frames, ours and general-purpose libraries alike. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
public class DisplacementBenchmark {

    /** Which one; the command line gives every name of the catalogue. */
    @Param(Plugins.PREFERRED)
    public String tracker;

    private DisplacementEstimator estimator;
    private RfFrame first;
    private RfFrame second;
    private DisplacementField field;

    /**
     * Makes the estimator and measures its error.
     *
     * @param scan the frames
     */
    @Setup
    public void make(Scan scan) {
        estimator = Plugins.tracker(tracker, scan);
        first = scan.frame(0);
        second = scan.frame(1);
        field = estimator.newField();
        estimator.estimate(first, second, field);
        Facts.putError(scan.phantom(), field);
    }

    /**
     * One pair, both frames new.
     *
     * @return the field
     */
    @Benchmark
    public DisplacementField pair() {
        estimator.estimate(first, second, field);
        return field;
    }
}
