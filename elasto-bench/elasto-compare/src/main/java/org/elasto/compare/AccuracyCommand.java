package org.elasto.compare;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import me.tongfei.progressbar.ProgressBar;
import me.tongfei.progressbar.ProgressBarBuilder;
import me.tongfei.progressbar.ProgressBarStyle;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.phantoms.Phantom;
import org.elasto.strain.picture.Cautions;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Measures displacement estimators on one grid of conditions. */
@Command(
        name = "accuracy",
        description = {
            "Measures displacement estimators on phantoms over one grid of conditions: strain,"
                    + " noise,",
            "loss of correlation, sideways drift, slip, bone, lost contact. Writes a table, the"
                    + " same",
            "as CSV, and a plot of error against strain and noise with the smallest possible one."
        },
        mixinStandardHelpOptions = true,
        versionProvider = Main.Version.class,
        sortOptions = false,
        footer = {"", Cautions.TEXT})
final class AccuracyCommand implements Callable<Integer> {

    @Option(
            names = "--estimator",
            paramLabel = "CHOICE",
            description = {
                "displacement estimator, as name or name:parameter=value,...; may be given",
                "several times; default: all there are"
            })
    private List<String> estimators = new ArrayList<>();

    @Option(
            names = "--only",
            paramLabel = "GROUP",
            defaultValue = "",
            description = "only conditions whose name begins so, such as strain or slip")
    private String only;

    @Option(
            names = "--seeds",
            paramLabel = "N",
            defaultValue = "1",
            description = "phantoms for each condition; default: ${DEFAULT-VALUE}")
    private int seeds;

    @Option(
            names = "--to",
            paramLabel = "FOLDER",
            defaultValue = "accuracy",
            description = "where to write; default: ${DEFAULT-VALUE}")
    private Path folder;

    @Option(
            names = "--workers",
            paramLabel = "N",
            defaultValue = "0",
            description = "threads to use; default: one for each processor")
    private int workers;

    @Spec private CommandSpec spec;

    @Override
    public Integer call() throws IOException {
        List<Condition> conditions =
                Condition.all().stream().filter(c -> c.group().startsWith(only)).toList();
        if (conditions.isEmpty()) {
            throw new IllegalArgumentException(
                    "--only is '"
                            + only
                            + "'; there are: "
                            + String.join(
                                    ", ",
                                    Condition.all().stream()
                                            .map(Condition::group)
                                            .distinct()
                                            .toList()));
        }
        if (estimators.isEmpty()) {
            estimators = Catalogue.displacementEstimators().names();
        }
        Map<String, List<Accuracy>> results;
        try (Workers threads = Texts.workers(workers)) {
            results = measure(conditions, threads);
        }
        AccuracyTable table = new AccuracyTable(results);
        PrintWriter out = spec.commandLine().getOut();
        out.println(table.text());
        WholeFile.folder(folder);
        WholeFile.write(
                folder.resolve("accuracy.txt"),
                table.text() + "\n" + Texts.wrapped(Cautions.TEXT) + "\n");
        WholeFile.write(folder.resolve("accuracy.csv"), table.csv());
        boolean drawn = AccuracyPlot.write(results, folder.resolve("accuracy.png"));
        out.println(
                "written to "
                        + folder
                        + ": accuracy.txt, accuracy.csv"
                        + (drawn ? ", accuracy.png" : ""));
        out.println();
        out.println(Texts.wrapped(Cautions.TEXT));
        out.flush();
        return 0;
    }

    private Map<String, List<Accuracy>> measure(List<Condition> conditions, Workers threads) {
        Map<String, DisplacementEstimator> made = new LinkedHashMap<>();
        Map<String, List<Accuracy>> results = new LinkedHashMap<>();
        for (String text : estimators) {
            Choice choice = Choice.of(text);
            made.put(
                    text,
                    Catalogue.create(
                            choice.provider(Catalogue.displacementEstimators()),
                            choice.parameters(),
                            conditions.get(0).phantom(1).geometry(),
                            threads));
            results.put(text, new ArrayList<>());
        }
        try (ProgressBar progress =
                new ProgressBarBuilder()
                        .setTaskName("conditions")
                        .setInitialMax((long) conditions.size() * seeds)
                        .setStyle(ProgressBarStyle.ASCII)
                        .build()) {
            for (Condition condition : conditions) {
                results.values().forEach(list -> list.add(new Accuracy(condition)));
                for (int seed = 1; seed <= seeds; seed++) {
                    Phantom phantom = condition.phantom(seed);
                    RfFrame first = phantom.newFrame();
                    RfFrame second = phantom.newFrame();
                    phantom.read(0, first);
                    phantom.read(1, second);
                    made.forEach(
                            (text, estimator) ->
                                    measure(
                                            phantom,
                                            first,
                                            second,
                                            estimator,
                                            last(results.get(text))));
                    progress.step();
                }
            }
        }
        return results;
    }

    private static void measure(
            Phantom phantom,
            RfFrame first,
            RfFrame second,
            DisplacementEstimator estimator,
            Accuracy accuracy) {
        DisplacementField field = estimator.newField();
        long start = System.nanoTime();
        estimator.estimate(first, second, field);
        accuracy.add(phantom, field, (System.nanoTime() - start) / 1e6);
    }

    private static Accuracy last(List<Accuracy> list) {
        return list.get(list.size() - 1);
    }
}
