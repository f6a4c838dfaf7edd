package org.elasto.jmh;

import java.io.PrintWriter;
import java.util.Collection;
import java.util.Locale;
import org.openjdk.jmh.infra.BenchmarkParams;
import org.openjdk.jmh.infra.IterationParams;
import org.openjdk.jmh.results.BenchmarkResult;
import org.openjdk.jmh.results.IterationResult;
import org.openjdk.jmh.results.RunResult;
import org.openjdk.jmh.runner.format.OutputFormat;

/** What JMH does, in one line for each fork, and what went wrong. */
final class ProgressLines implements OutputFormat {

    private final PrintWriter out;
    private final int expected;
    private int done;

    ProgressLines(PrintWriter out, int expected, int done) {
        this.out = out;
        this.expected = expected;
        this.done = done;
    }

    @Override
    public void iteration(BenchmarkParams benchmark, IterationParams params, int iteration) {}

    @Override
    public void iterationResult(
            BenchmarkParams benchmark,
            IterationParams params,
            int iteration,
            IterationResult result) {}

    @Override
    public void startBenchmark(BenchmarkParams benchmark) {
        done++;
        StringBuilder choices = new StringBuilder();
        for (String key : benchmark.getParamsKeys()) {
            choices.append(' ').append(benchmark.getParam(key));
        }
        String name = benchmark.getBenchmark().replaceFirst(".*\\.([^.]+)Benchmark\\.", "$1.");
        out.printf(Locale.ROOT, "%3d of %d  %-80s", done, expected, name + choices);
        out.flush();
    }

    @Override
    public void endBenchmark(BenchmarkResult result) {
        if (result == null) {
            out.println("failed");
        } else {
            out.printf(Locale.ROOT, "%10.3f ms%n", result.getPrimaryResult().getScore());
        }
        out.flush();
    }

    @Override
    public void startRun() {}

    @Override
    public void endRun(Collection<RunResult> results) {}

    @Override
    public void print(String text) {}

    /** JMH tells of failures here, and in lines that begin with # how it goes on. */
    @Override
    public void println(String text) {
        if (!text.isBlank() && !text.startsWith("#")) {
            out.println(text.strip());
            out.flush();
        }
    }

    @Override
    public void flush() {
        out.flush();
    }

    @Override
    public void close() {
        out.flush();
    }

    @Override
    public void verbosePrintln(String text) {}

    @Override
    public void write(int b) {}

    @Override
    public void write(byte[] bytes) {}
}
