package org.elasto.jmh.benchmark;

import java.util.concurrent.TimeUnit;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.plugin.FrameHoldingEstimator;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;

/** A displacement estimator that can hold frames, in a stream: each frame is prepared once. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
public class StreamBenchmark {

    /** Which one; the command line gives every name whose estimator can hold frames. */
    @Param(Plugins.PREFERRED)
    public String holder;

    private final RfFrame[] frames = new RfFrame[2];
    private FrameHoldingEstimator estimator;
    private DisplacementField field;
    private int newest;

    /**
     * Makes the estimator and has it hold the first frame.
     *
     * @param scan the frames
     */
    @Setup
    public void make(Scan scan) {
        if (!(Plugins.tracker(holder, scan) instanceof FrameHoldingEstimator able)) {
            throw new IllegalArgumentException("holder is '" + holder + "', which holds no frames");
        }
        estimator = able;
        estimator.reserve(2);
        for (int i = 0; i < 2; i++) {
            frames[i] = scan.frame(i);
            estimator.hold(i, frames[i]);
        }
        newest = 1;
        field = estimator.newField();
        estimator.estimateHeld(0, 1, field);
        Facts.putError(scan.phantom(), field);
    }

    /**
     * One more frame, compared with the one before.
     *
     * @return the field
     */
    @Benchmark
    public DisplacementField frame() {
        int before = newest;
        newest = 1 - newest;
        estimator.hold(newest, frames[newest]);
        estimator.estimateHeld(before, newest, field);
        return field;
    }
}
