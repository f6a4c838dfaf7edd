package org.elasto.jmh;

import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import org.HdrHistogram.Histogram;
import org.apache.commons.math3.stat.descriptive.rank.Median;
import org.elasto.jmh.benchmark.LiveStream;
import org.elasto.jmh.benchmark.Scan;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Measures how evenly the live session works. */
@Command(
        name = "latency",
        description = {
            "Runs frames through the live session one after another and prints the median and the",
            "99th percentile of the time for each. Numbers of workers take turns of fifty frames,",
            "so that how many times as fast one is as the first holds on a noisy machine, too."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false)
final class LatencyCommand implements Callable<Integer> {

    private static final long LONGEST_NANOS = 60_000_000_000L;

    /** Frames of a turn. */
    private static final int TURN = 50;

    @Option(
            names = "--frames",
            paramLabel = "N",
            defaultValue = "10000",
            description = "frames to measure with each; default: ${DEFAULT-VALUE}")
    private int frames;

    @Option(
            names = "--warm-up",
            paramLabel = "N",
            defaultValue = "500",
            description = "frames before that; default: ${DEFAULT-VALUE}")
    private int warmUp;

    @Option(
            names = "--size",
            paramLabel = "LINESxSAMPLES",
            defaultValue = "128x2337",
            description = "size of the frames; default: ${DEFAULT-VALUE}")
    private String size;

    @Option(
            names = "--workers",
            paramLabel = "N",
            split = ",",
            defaultValue = "1,2",
            description = "numbers of workers; default: ${DEFAULT-VALUE}")
    private List<Integer> workers;

    @Option(
            names = "--estimator",
            paramLabel = "CHOICE",
            defaultValue = "preferred",
            description = "displacement estimator, as name or name:parameter=value,...")
    private String estimator;

    @Spec private CommandSpec spec;

    @Override
    public Integer call() {
        if (frames < 1 || warmUp < 0) {
            throw new IllegalArgumentException(
                    "frames is " + frames + " and warm-up is " + warmUp + "; at least 1 and 0");
        }
        PrintWriter out = spec.commandLine().getOut();
        out.printf(
                Locale.ROOT,
                "live session, %s, %s, %d frames after %d%n",
                estimator,
                size,
                frames,
                warmUp);
        out.printf(
                Locale.ROOT,
                "%8s %8s %11s %9s %9s %9s %11s %9s%n",
                "workers",
                "as fast",
                "median (ms)",
                "p99 (ms)",
                "p99/med",
                "max (ms)",
                "frames/s",
                "compared");
        List<Session> sessions = new ArrayList<>();
        try {
            for (int count : workers) {
                sessions.add(new Session(count));
            }
            for (Session session : sessions) {
                session.warmUp();
            }
            for (int turn = 0; turn * TURN < frames; turn++) {
                for (Session session : sessions) {
                    session.play(Math.min(TURN, frames - turn * TURN));
                }
            }
            for (Session session : sessions) {
                out.println(session.row(sessions.get(0)));
            }
        } finally {
            for (Session session : sessions) {
                session.scan.close();
            }
        }
        return 0;
    }

    /** A live session with a number of workers, and what its frames have taken. */
    private final class Session {

        private final int count;
        private final Scan scan;
        private final LiveStream stream;
        private final Histogram histogram = new Histogram(LONGEST_NANOS, 3);
        private final List<Double> turns = new ArrayList<>();
        private long compared;

        Session(int count) {
            this.count = count;
            scan = new Scan(size, count);
            scan.open();
            try {
                stream = new LiveStream(estimator, scan);
            } catch (RuntimeException wrongEstimator) {
                scan.close();
                throw wrongEstimator;
            }
        }

        void warmUp() {
            for (int i = 0; i < warmUp; i++) {
                stream.next();
            }
            compared = stream.counters().compared();
        }

        void play(int number) {
            long first = System.nanoTime();
            long start = first;
            for (int i = 0; i < number; i++) {
                stream.next();
                long end = System.nanoTime();
                histogram.recordValue(Math.min(LONGEST_NANOS, end - start));
                start = end;
            }
            turns.add((double) (start - first));
        }

        /**
         * Median of how many times as fast this one's turns were as those of another right before.
         */
        private double timesAsFastAs(Session other) {
            double[] ratios = new double[turns.size()];
            Arrays.setAll(ratios, i -> other.turns.get(i) / turns.get(i));
            return new Median().evaluate(ratios);
        }

        String row(Session first) {
            double median = histogram.getValueAtPercentile(50) * 1e-6;
            double late = histogram.getValueAtPercentile(99) * 1e-6;
            return String.format(
                    Locale.ROOT,
                    "%8d %8.2f %11.3f %9.3f %9.2f %9.3f %11.0f %8.1f%%",
                    count,
                    timesAsFastAs(first),
                    median,
                    late,
                    late / median,
                    histogram.getMaxValue() * 1e-6,
                    1000 / (histogram.getMean() * 1e-6),
                    100.0 * (stream.counters().compared() - compared) / frames);
        }
    }
}
