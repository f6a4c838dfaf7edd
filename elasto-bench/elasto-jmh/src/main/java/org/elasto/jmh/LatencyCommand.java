package org.elasto.jmh;

import java.io.PrintWriter;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import org.HdrHistogram.Histogram;
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
            "99th percentile of the time for each."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false)
final class LatencyCommand implements Callable<Integer> {

    private static final long LONGEST_NANOS = 60_000_000_000L;

    @Option(
            names = "--frames",
            paramLabel = "N",
            defaultValue = "10000",
            description = "frames to measure; default: ${DEFAULT-VALUE}")
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
            description = "numbers of workers, one run each; default: ${DEFAULT-VALUE}")
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
                "%8s %11s %9s %9s %9s %11s %9s%n",
                "workers",
                "median (ms)",
                "p99 (ms)",
                "p99/med",
                "max (ms)",
                "frames/s",
                "compared");
        for (int count : workers) {
            out.println(row(count));
            out.flush();
        }
        return 0;
    }

    private String row(int count) {
        Scan scan = new Scan(size, count);
        scan.open();
        try {
            LiveStream stream = new LiveStream(estimator, scan);
            for (int i = 0; i < warmUp; i++) {
                stream.next();
            }
            long compared = stream.counters().compared();
            Histogram histogram = new Histogram(LONGEST_NANOS, 3);
            for (int i = 0; i < frames; i++) {
                long start = System.nanoTime();
                stream.next();
                histogram.recordValue(Math.min(LONGEST_NANOS, System.nanoTime() - start));
            }
            double median = histogram.getValueAtPercentile(50) * 1e-6;
            double late = histogram.getValueAtPercentile(99) * 1e-6;
            return String.format(
                    Locale.ROOT,
                    "%8d %11.3f %9.3f %9.2f %9.3f %11.0f %8.1f%%",
                    count,
                    median,
                    late,
                    late / median,
                    histogram.getMaxValue() * 1e-6,
                    1000 / (histogram.getMean() * 1e-6),
                    100.0 * (stream.counters().compared() - compared) / frames);
        } finally {
            scan.close();
        }
    }
}
