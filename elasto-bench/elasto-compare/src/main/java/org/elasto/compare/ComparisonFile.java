package org.elasto.compare;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.PluginProvider;
import org.elasto.phantoms.Phantoms;
import org.elasto.strain.picture.PictureConfig;

/**
 * A comparison as a text file (TOML) describes it: sources, displacement estimators, strain
 * estimators, quality metrics. Every source is done with every displacement estimator and every
 * strain estimator. A parameter with several values in brackets stands for as many settings.
 *
 * @param title what stands on top of the report
 * @param text the file as it stands
 * @param shown number of the pair whose pictures are shown; -1 for the middle one
 * @param look how the pictures look
 * @param sources recordings and phantoms
 * @param estimators displacement estimators
 * @param strains strain estimators
 * @param qualities quality metrics
 */
record ComparisonFile(
        String title,
        String text,
        int shown,
        PictureConfig look,
        List<PlannedSource> sources,
        List<Setting> estimators,
        List<Setting> strains,
        List<Setting> qualities) {

    /** Reads a file. Names and parameters of plugins are checked; recordings are not opened. */
    static ComparisonFile read(Path file) throws IOException {
        TextTable text = TextTable.read(file);
        String title = text.text("title", file.getFileName().toString());
        int shown = text.whole("shown-pair", -1);
        PictureConfig look = look(text.table("look"), text);
        List<PlannedSource> sources = new ArrayList<>();
        for (TextTable source : text.tables("source")) {
            sources.addAll(sources(source));
        }
        List<Setting> estimators =
                settings(text.tables("estimator"), Catalogue.displacementEstimators());
        List<Setting> strains = settings(text.tables("strain"), Catalogue.strainEstimators());
        boolean named = text.has("quality");
        List<Setting> qualities =
                named
                        ? settings(text.tables("quality"), Catalogue.qualityMetrics())
                        : Catalogue.qualityMetrics().names().stream()
                                .map(name -> new Setting(name, Map.of(), name))
                                .toList();
        text.noMore();
        if (sources.isEmpty() || estimators.isEmpty() || strains.isEmpty()) {
            throw new IllegalArgumentException(
                    file
                            + ": expected at least one [[source]], one [[estimator]] and one"
                            + " [[strain]]; found "
                            + sources.size()
                            + ", "
                            + estimators.size()
                            + ", "
                            + strains.size());
        }
        refuseTwins(file, "source", sources.stream().map(PlannedSource::label).toList());
        refuseTwins(file, "estimator", estimators.stream().map(Setting::label).toList());
        refuseTwins(file, "strain", strains.stream().map(Setting::label).toList());
        return new ComparisonFile(
                title,
                Files.readString(file, StandardCharsets.UTF_8),
                shown,
                look,
                sources,
                estimators,
                strains,
                qualities);
    }

    private static void refuseTwins(Path file, String what, List<String> labels) {
        for (int i = 0; i < labels.size(); i++) {
            if (labels.indexOf(labels.get(i)) < i) {
                throw new IllegalArgumentException(
                        file
                                + ": two of [["
                                + what
                                + "]] are called '"
                                + labels.get(i)
                                + "'; give them a label each");
            }
        }
    }

    private static PictureConfig look(TextTable look, TextTable text) {
        Map<String, String> values = new LinkedHashMap<>();
        if (look != null) {
            look.values().forEach((key, list) -> values.put(key, list.get(0)));
        }
        PictureConfig small =
                PictureConfig.schema()
                        .parse(PictureConfig.DEFAULTS, Map.of("pixels-per-millimetre", "6"));
        try {
            return PictureConfig.schema().parse(small, values);
        } catch (IllegalArgumentException e) {
            throw text.wrong("look", e);
        }
    }

    private static List<Setting> settings(
            List<TextTable> tables, Catalogue<? extends PluginProvider<?>> catalogue) {
        List<Setting> settings = new ArrayList<>();
        for (TextTable table : tables) {
            String name = table.text("name", null);
            String label = table.text("label", name);
            TextTable parameters = table.table("parameters");
            table.noMore();
            try {
                PluginProvider<?> provider = catalogue.get(name);
                for (Variant variant : variants(parameters)) {
                    Setting setting = new Setting(name, variant.values(), label + variant.suffix());
                    Setting.all(provider, setting.text());
                    settings.add(setting);
                }
            } catch (IllegalArgumentException e) {
                throw table.wrong("name", e);
            }
        }
        return settings;
    }

    /** One choice of all parameters; the suffix tells those that vary. */
    private record Variant(Map<String, String> values, String suffix) {}

    /** Every combination of the values that are given in brackets. */
    private static List<Variant> variants(TextTable parameters) {
        List<Variant> variants = List.of(new Variant(Map.of(), ""));
        if (parameters == null) {
            return variants;
        }
        for (Map.Entry<String, List<String>> entry : parameters.values().entrySet()) {
            List<Variant> more = new ArrayList<>();
            for (Variant variant : variants) {
                for (String value : entry.getValue()) {
                    Map<String, String> values = new LinkedHashMap<>(variant.values());
                    values.put(entry.getKey(), value);
                    boolean varied = entry.getValue().size() > 1;
                    String suffix = varied ? " " + entry.getKey() + "=" + value : "";
                    more.add(new Variant(values, variant.suffix() + suffix));
                }
            }
            variants = more;
        }
        return variants;
    }

    private static List<PlannedSource> sources(TextTable table) {
        String location = table.text("location", null);
        String label = table.text("label", Path.of(location).getFileName().toString());
        TextTable otherwise = table.table("otherwise");
        List<PlannedSource> sources = variants(table, label, location);
        boolean instead = false;
        if (otherwise != null) {
            String other = otherwise.text("location", null);
            String otherLabel = otherwise.text("label", label);
            List<PlannedSource> others = variants(otherwise, otherLabel, other);
            otherwise.noMore();
            instead = !Files.exists(beside(table.file(), location));
            sources = instead ? others : sources;
        }
        table.noMore();
        return sources;
    }

    /** The source of a location with every variant of its parameters and every seed. */
    private static List<PlannedSource> variants(TextTable table, String label, String location) {
        String kind = table.text("kind", "");
        String truth = table.text("truth", "");
        double[] seeds = table.numbers("seeds");
        boolean pictures = table.flag("pictures", true);
        List<Variant> variants = variants(table.table("parameters"));
        boolean scene = Phantoms.names().contains(location);
        boolean phantom = scene || PhantomFile.recognises(location);
        if (scene && seeds.length == 0) {
            throw table.wrong("seeds", "whole numbers such as [1, 2] for a phantom", null);
        }
        if (!phantom && seeds.length > 0) {
            throw table.wrong("seeds", "none, since a recording has none", seeds[0]);
        }
        String place = scene ? location : beside(table.file(), location).toString();
        Path motion = truth.isEmpty() ? null : beside(table.file(), truth);
        List<PlannedSource> sources = new ArrayList<>();
        for (Variant variant : variants) {
            String given = new Setting("", variant.values(), "").text();
            check(table, scene ? Sources.PHANTOM : kind, given);
            for (int i = 0; i < Math.max(1, seeds.length); i++) {
                String seed = seeds.length == 0 ? "" : "seed=" + (long) seeds[i];
                String comma = given.isEmpty() || seed.isEmpty() ? "" : ",";
                String suffix = seeds.length > 1 ? " " + seed : "";
                sources.add(
                        new PlannedSource(
                                label + variant.suffix() + suffix,
                                place,
                                kind,
                                given + comma + seed,
                                motion,
                                pictures));
            }
        }
        return sources;
    }

    /** Refuses parameters that the source's provider does not have, where it is known. */
    private static void check(TextTable table, String kind, String parameters) {
        try {
            if (!kind.isEmpty()) {
                Setting.all(Catalogue.frameSources().get(kind), parameters);
            }
        } catch (IllegalArgumentException e) {
            throw table.wrong("location", e);
        }
    }

    private static Path beside(Path file, String location) {
        return file.toAbsolutePath().resolveSibling(location).normalize();
    }
}
