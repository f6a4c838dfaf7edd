package org.elasto.jmh.benchmark;

import java.util.Locale;
import java.util.concurrent.TimeUnit;
import org.elasto.strain.live.LiveCounters;
import org.elasto.strain.live.LiveImage;
import org.elasto.strain.live.Stage;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Level;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;

/** The whole live session, one frame at a time, with the time of each stage beside it. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
public class LiveBenchmark {

    private static final int UNTIL_STEADY = 3 * Scan.FRAMES;

    /** Displacement estimator of the session. */
    @Param(Plugins.PREFERRED)
    public String session;

    private LiveStream stream;
    private LiveCounters before;

    /**
     * Makes the session and plays frames until it is in steady state.
     *
     * @param scan the frames
     */
    @Setup
    public void make(Scan scan) {
        stream = new LiveStream(session, scan);
        for (int i = 0; i < UNTIL_STEADY; i++) {
            stream.next();
        }
        Facts.put(
                "compared-percent",
                () -> {
                    LiveCounters now = stream.counters();
                    return 100.0 * (now.compared() - before.compared()) / frames(now);
                });
        for (Stage stage : Stage.values()) {
            Facts.put(
                    "stage-" + stage.name().toLowerCase(Locale.ROOT) + "-us",
                    () -> {
                        LiveCounters now = stream.counters();
                        long nanos = now.stageNanos().get(stage) - before.stageNanos().get(stage);
                        return nanos * 1e-3 / frames(now);
                    });
        }
    }

    /** The stages of each iteration count from its own beginning: warming up is none of theirs. */
    @Setup(Level.Iteration)
    public void begin() {
        before = stream.counters();
    }

    private double frames(LiveCounters now) {
        return now.framesIn() - before.framesIn();
    }

    /**
     * One frame.
     *
     * @return what there is to say about it
     */
    @Benchmark
    public LiveImage frame() {
        return stream.next();
    }
}
