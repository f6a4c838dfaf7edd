package org.elasto.compare;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.Map;
import java.util.concurrent.Callable;
import org.elasto.api.Workers;
import org.elasto.strain.picture.Cautions;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Compares estimators on recordings and phantoms, and writes the report. */
@Command(
        name = "compare",
        description = {
            "Compares displacement and strain estimators with any settings on recordings and"
                    + " phantoms, as a",
            "text file (TOML) describes it, and writes report.html and table.csv. What is done is"
                    + " kept and",
            "not done again: the same command goes on where it was stopped."
        },
        mixinStandardHelpOptions = true,
        versionProvider = Main.Version.class,
        sortOptions = false,
        footer = {
            "",
            "A comparison's file, in SI units; several values in brackets are as many settings:",
            "  title = \"Two trackers\"",
            "  [[source]]",
            "  location = \"two-stiff-inclusions\"   # a phantom, or a file beside this one",
            "  seeds = [1]                         # phantoms: one source for each seed",
            "  parameters = { snr = [20, 40] }     # see 'plugins'; for files also truth, kind",
            "  [[estimator]]",
            "  name = \"cross-correlation\"",
            "  parameters = { window-length = [1.5e-3, 2.5e-3] }",
            "  [[strain]]",
            "  name = \"least-squares-line\"",
            "",
            Cautions.TEXT
        })
final class CompareCommand implements Callable<Integer> {

    @Parameters(paramLabel = "FILE", description = "the comparison's file")
    private Path file;

    @Option(
            names = "--to",
            paramLabel = "FOLDER",
            defaultValue = "comparison",
            description = "where to write; default: ${DEFAULT-VALUE}")
    private Path folder;

    @Option(names = "--again", description = "do all cases again")
    private boolean again;

    @Option(
            names = "--workers",
            paramLabel = "N",
            defaultValue = "0",
            description = "threads to use; default: one for each processor")
    private int workers;

    @Spec private CommandSpec spec;

    @Override
    public Integer call() throws IOException {
        PrintWriter out = spec.commandLine().getOut();
        PrintWriter err = spec.commandLine().getErr();
        ComparisonFile plan = ComparisonFile.read(file);
        WholeFile.folder(folder);
        try (Workers threads = Texts.workers(workers)) {
            ComparisonRun run = new ComparisonRun(plan, folder, threads, again);
            run.run();
            Map<ComparisonCase, CaseOutcome> outcomes = run.outcomes();
            long done = outcomes.values().stream().filter(CaseOutcome::done).count();
            String report = new Report(plan, outcomes, run.shownFrames(), threads).html();
            WholeFile.write(folder.resolve("report.html"), report);
            WholeFile.write(folder.resolve("table.csv"), ComparisonTable.csv(outcomes));
            out.println(
                    done
                            + " of "
                            + outcomes.size()
                            + " cases are done, "
                            + run.doneBefore()
                            + " of them from before");
            out.println("written to " + folder + ": report.html, table.csv");
            out.println();
            out.println(Texts.wrapped(Cautions.TEXT));
            out.flush();
            outcomes.forEach(
                    (work, outcome) -> {
                        if (!outcome.done()) {
                            err.println("error: " + work.label() + ": " + outcome.problem());
                        }
                    });
            err.flush();
            return done == outcomes.size() ? 0 : 1;
        }
    }
}
