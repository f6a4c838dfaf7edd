package org.elasto.compare;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import me.tongfei.progressbar.ProgressBar;
import me.tongfei.progressbar.ProgressBarBuilder;
import me.tongfei.progressbar.ProgressBarStyle;
import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.phantoms.Phantom;
import org.elasto.strain.picture.Cautions;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/**
 * Measures signal over noise of strain against strain, which has the shape of a band-pass filter.
 */
@Command(
        name = "strain-filter",
        description = {
            "Measures signal over noise of strain against strain, for strain estimators on an even",
            "phantom (the strain filter of Varghese & Ophir, IEEE Trans UFFC 44(1), 1997): mean"
                    + " over",
            "standard deviation of what is trusted away from the edges. Writes a table, the same"
                    + " as",
            "CSV, and a plot with what the smallest possible errors of displacement would allow."
        },
        mixinStandardHelpOptions = true,
        versionProvider = Main.Version.class,
        sortOptions = false,
        footer = {"", Cautions.TEXT})
final class StrainFilterCommand implements Callable<Integer> {

    /** Depth at which noise is 30 dB below the echo (m). */
    private static final double NOISE_DEPTH = 15e-3;

    @Option(
            names = "--strain-estimator",
            paramLabel = "CHOICE",
            description = {
                "strain estimator, as name or name:parameter=value,...; may be given several",
                "times; default: all there are"
            })
    private List<String> strainEstimators = new ArrayList<>();

    @Option(
            names = "--estimator",
            paramLabel = "CHOICE",
            defaultValue = "",
            description = "displacement estimator; default: the preferred one")
    private String estimator;

    @Option(
            names = "--strains",
            paramLabel = "PERCENT",
            split = ",",
            defaultValue = "0.02,0.05,0.1,0.2,0.5,1,2,3,4,5",
            description = "strains between the two frames (%%); default: ${DEFAULT-VALUE}")
    private List<Double> strains;

    @Option(
            names = "--lines",
            paramLabel = "N",
            defaultValue = "128",
            description = "lines of the phantom, 40 to 512; default: ${DEFAULT-VALUE}")
    private int lines;

    @Option(
            names = "--seeds",
            paramLabel = "N",
            defaultValue = "3",
            description = "phantoms for each strain; default: ${DEFAULT-VALUE}")
    private int seeds;

    @Option(
            names = "--to",
            paramLabel = "FOLDER",
            defaultValue = "strain-filter",
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
        Check.range("--lines", lines, 40, 512);
        Check.range("--seeds", seeds, 1, 1000);
        for (double strain : strains) {
            Check.range("--strains", strain, 0.001, 20, "%");
        }
        if (strainEstimators.isEmpty()) {
            strainEstimators = Catalogue.strainEstimators().names();
        }
        int count = workers == 0 ? Runtime.getRuntime().availableProcessors() : workers;
        Map<String, List<StrainFilter>> results;
        try (Workers threads = Workers.threads(count)) {
            results = measure(threads);
        }
        StrainFilterTable table = new StrainFilterTable(results);
        PrintWriter out = spec.commandLine().getOut();
        out.println(table.text());
        Files.createDirectories(folder);
        Files.writeString(
                folder.resolve("strain-filter.txt"),
                table.text() + "\n" + Texts.wrapped(Cautions.TEXT) + "\n",
                StandardCharsets.UTF_8);
        Files.writeString(folder.resolve("strain-filter.csv"), table.csv(), StandardCharsets.UTF_8);
        StrainFilterPlot.write(results, folder.resolve("strain-filter.png"));
        out.println("written to " + folder + ": strain-filter.txt, .csv and .png");
        out.println();
        out.println(Texts.wrapped(Cautions.TEXT));
        out.flush();
        return 0;
    }

    private Phantom phantom(double percent, long seed) {
        return Phantom.builder()
                .geometry(ScanGeometry.linear(lines, 2337, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50))
                .seed(seed)
                .press(0, percent / 100)
                .noise(30, NOISE_DEPTH)
                .build();
    }

    private Map<String, List<StrainFilter>> measure(Workers threads) {
        Choice choice = Choice.of(estimator);
        DisplacementEstimator tracker =
                Catalogue.create(
                        choice.provider(Catalogue.displacementEstimators()),
                        choice.parameters(),
                        phantom(strains.get(0), 1).geometry(),
                        threads);
        Map<String, StrainEstimator> made = new LinkedHashMap<>();
        Map<String, List<StrainFilter>> results = new LinkedHashMap<>();
        for (String text : strainEstimators) {
            Choice strainChoice = Choice.of(text);
            made.put(
                    text,
                    Catalogue.create(
                            strainChoice.provider(Catalogue.strainEstimators()),
                            strainChoice.parameters(),
                            tracker.layout(),
                            threads));
            results.put(text, new ArrayList<>());
        }
        try (ProgressBar progress =
                new ProgressBarBuilder()
                        .setTaskName("strains")
                        .setInitialMax((long) strains.size() * seeds)
                        .setStyle(ProgressBarStyle.ASCII)
                        .build()) {
            for (double percent : strains) {
                // Strain is displacement over the length before, and the press is what is left
                // after.
                double applied = percent / 100;
                results.values().forEach(list -> list.add(new StrainFilter(applied)));
                for (int seed = 1; seed <= seeds; seed++) {
                    add(phantom(percent, seed), tracker, made, results);
                    progress.step();
                }
            }
        }
        return results;
    }

    private static void add(
            Phantom phantom,
            DisplacementEstimator tracker,
            Map<String, StrainEstimator> made,
            Map<String, List<StrainFilter>> results) {
        RfFrame first = phantom.newFrame();
        RfFrame second = phantom.newFrame();
        phantom.read(0, first);
        phantom.read(1, second);
        DisplacementField field = tracker.newField();
        tracker.estimate(first, second, field);
        DisplacementField best = StrainFilter.withSmallestErrors(phantom, field);
        made.forEach(
                (text, strainEstimator) -> {
                    List<StrainFilter> list = results.get(text);
                    StrainFilter filter = list.get(list.size() - 1);
                    StrainImage image = strainEstimator.newImage();
                    long start = System.nanoTime();
                    strainEstimator.estimate(field, image);
                    filter.add(image, (System.nanoTime() - start) / 1e6);
                    strainEstimator.estimate(best, image);
                    filter.addBound(image);
                });
    }
}
