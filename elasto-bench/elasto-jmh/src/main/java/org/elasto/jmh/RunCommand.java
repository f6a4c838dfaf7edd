package org.elasto.jmh;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import org.elasto.jmh.result.ResultFile;
import org.elasto.jmh.result.SpeedTable;
import org.openjdk.jmh.results.RunResult;
import org.openjdk.jmh.runner.Runner;
import org.openjdk.jmh.runner.RunnerException;
import org.openjdk.jmh.runner.options.Options;
import picocli.CommandLine.ArgGroup;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Runs the benchmarks. */
@Command(
        name = "run",
        description = {
            "Runs the benchmarks: floor, kernels, every estimator and metric of the catalogue, and",
            "the live session. Writes JMH's results as JSON, and a table."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false)
final class RunCommand implements Callable<Integer> {

    @ArgGroup private Form form = new Form();

    /** How thorough. */
    static final class Form {
        @Option(
                names = "--quick",
                description = {
                    "the default: some minutes; one fork, 128x2337 with 1 and 2 workers, the other",
                    "sizes with 1, the session with the preferred estimator alone"
                })
        private boolean quick;

        @Option(
                names = "--full",
                description = "all sizes, workers and sessions, three forks; about an hour or two")
        private boolean full;
    }

    @Option(
            names = "--only",
            paramLabel = "REGEX",
            defaultValue = "",
            description = "only benchmarks whose name matches, such as Displacement or Live")
    private String only;

    @Option(
            names = "--estimator",
            paramLabel = "CHOICE",
            description = {
                "displacement estimator, as name or name:parameter=value,...; may be given several",
                "times; default: all there are"
            })
    private List<String> estimators = new ArrayList<>();

    @Option(
            names = "--session",
            paramLabel = "CHOICE",
            description = "displacement estimator of the live session; may be given several times")
    private List<String> sessions = new ArrayList<>();

    @Option(
            names = "--size",
            paramLabel = "LINESxSAMPLES",
            split = ",",
            description = "sizes of frames; default: as the form says")
    private List<String> sizes = new ArrayList<>();

    @Option(
            names = "--workers",
            paramLabel = "N",
            split = ",",
            description = "numbers of workers; default: as the form says")
    private List<String> workers = new ArrayList<>();

    @Option(
            names = "--forks",
            paramLabel = "N",
            defaultValue = "0",
            description = "processes for each benchmark; default: as the form says")
    private int forks;

    @Option(
            names = "--to",
            paramLabel = "FOLDER",
            defaultValue = "speed",
            description = "where to write speed.json and speed.txt; default: ${DEFAULT-VALUE}")
    private Path folder;

    @Option(names = "--verbose", description = "show JMH's own output")
    private boolean verbose;

    @Spec private CommandSpec spec;

    @Override
    public Integer call() throws IOException {
        PrintWriter out = spec.commandLine().getOut();
        List<RunPlan> plans =
                RunPlan.of(
                        form.full,
                        new RunPlan.Wishes(only, estimators, sessions, sizes, workers, forks));
        Files.createDirectories(folder);
        String before =
                String.format(
                        Locale.ROOT, "%s%nload before: %.2f", Machine.describe(), Machine.load());
        List<RunResult> results = new ArrayList<>();
        int expected = 0;
        for (RunPlan plan : plans) {
            expected += plan.count();
        }
        out.println(before + "; " + expected + " benchmarks");
        out.flush();
        for (RunPlan plan : plans) {
            Options options = plan.options().build();
            Runner runner =
                    verbose
                            ? new Runner(options)
                            : new Runner(options, new ProgressLines(out, expected, results.size()));
            try {
                results.addAll(runner.run());
            } catch (RunnerException e) {
                throw new IOException("the benchmarks could not be run: " + e.getMessage(), e);
            }
        }
        return report(results, expected, before, out);
    }

    private Integer report(List<RunResult> results, int expected, String before, PrintWriter out)
            throws IOException {
        if (results.isEmpty()) {
            throw new IOException("no benchmark gave a result");
        }
        Path json = folder.resolve("speed.json");
        ResultFile.write(results, json);
        String text =
                before
                        + String.format(Locale.ROOT, ", after: %.2f%n", Machine.load())
                        + new SpeedTable(ResultFile.read(json)).text();
        Files.writeString(folder.resolve("speed.txt"), text, StandardCharsets.UTF_8);
        out.println(text);
        out.println("written to " + folder + ": speed.json, speed.txt");
        if (results.size() < expected) {
            out.println((expected - results.size()) + " benchmarks FAILED: see --verbose");
        }
        out.flush();
        return results.size() < expected ? 1 : 0;
    }
}
