package org.elasto.jmh;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.Locale;
import java.util.concurrent.Callable;
import org.elasto.jmh.result.ResultFile;
import org.elasto.jmh.result.SpeedComparison;
import org.elasto.jmh.result.SpeedComparison.Ratio;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Compares two result files. */
@Command(
        name = "compare",
        description = {
            "Compares two result files: time of the new one over the old one, each in multiples",
            "of its own floor, with an interval. Exit status 3 if anything became slower by more",
            "than noise and tolerance."
        },
        mixinStandardHelpOptions = true,
        sortOptions = false)
final class CompareCommand implements Callable<Integer> {

    static final int SLOWER = 3;

    @Parameters(index = "0", paramLabel = "OLD", description = "result file (JSON) of before")
    private Path before;

    @Parameters(index = "1", paramLabel = "NEW", description = "result file (JSON) of now")
    private Path after;

    @Option(
            names = "--level",
            paramLabel = "P",
            defaultValue = "0.95",
            description = "probability that all intervals hold at once; default: ${DEFAULT-VALUE}")
    private double level;

    @Option(
            names = "--tolerance",
            paramLabel = "SHARE",
            defaultValue = "0.05",
            description = "change that is left alone, as a share; default: ${DEFAULT-VALUE}")
    private double tolerance;

    @Spec private CommandSpec spec;

    @Override
    public Integer call() throws IOException {
        SpeedComparison comparison =
                new SpeedComparison(
                        ResultFile.read(before), ResultFile.read(after), level, tolerance);
        PrintWriter out = spec.commandLine().getOut();
        out.printf(Locale.ROOT, "%-86s %7s   %s%n", "", "new/old", "interval");
        for (Ratio ratio : comparison.ratios()) {
            out.printf(
                    Locale.ROOT,
                    "%-86s %7.3f   %.3f to %.3f  %s%n",
                    ratio.key(),
                    ratio.ratio(),
                    ratio.low(),
                    ratio.high(),
                    switch (ratio.verdict()) {
                        case SLOWER -> "SLOWER";
                        case FASTER -> "faster";
                        case SAME -> "";
                    });
        }
        comparison.onlyOld().forEach(key -> out.println("only in the old run: " + key));
        comparison.onlyNew().forEach(key -> out.println("only in the new run: " + key));
        int slower = comparison.slower().size();
        out.printf(
                Locale.ROOT,
                "%ncompared: %d; slower by more than noise and %.0f %%: %d%n",
                comparison.ratios().size(),
                tolerance * 100,
                slower);
        if (comparison.fewForks()) {
            out.println(
                    "A run has fewer than 3 forks: what differs from one process to the next is not"
                            + " in the\nintervals. Run with --forks 3 before believing a small"
                            + " change.");
        }
        out.flush();
        return slower > 0 ? SLOWER : 0;
    }
}
