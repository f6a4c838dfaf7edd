package org.elasto.compare;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * What was measured of a case.
 *
 * @param about what the case is, texts by name
 * @param signalToNoise echo over noise in the middle of the picture (dB), NaN if not known
 * @param pairs one for each pair of frames
 * @param inclusions the inclusions there are
 * @param displacementBins calibration of the predicted deviation of displacement
 * @param strainBins of strain
 */
record CaseMeasures(
        Map<String, String> about,
        double signalToNoise,
        List<Pair> pairs,
        List<TrueMotion.Round> inclusions,
        List<CalibrationBins.Bin> displacementBins,
        List<CalibrationBins.Bin> strainBins) {

    /**
     * What was measured of a pair.
     *
     * @param first number of the first frame
     * @param second number of the second
     * @param values the measures; those not there are not known
     * @param qualities scores of quality metrics by name
     */
    record Pair(
            long first, long second, Map<Measure, Double> values, Map<String, Double> qualities) {

        double value(Measure measure) {
            return values.getOrDefault(measure, Double.NaN);
        }
    }

    /** A measure over all pairs. */
    double value(Measure measure) {
        return measure.over(pairs.stream().mapToDouble(p -> p.value(measure)));
    }

    /** Mean score of a quality metric. */
    double quality(String name) {
        return pairs.stream()
                .mapToDouble(p -> p.qualities().getOrDefault(name, Double.NaN))
                .filter(v -> !Double.isNaN(v))
                .average()
                .orElse(Double.NaN);
    }

    /** As text (TOML). */
    String toText() {
        StringBuilder text = new StringBuilder();
        text.append("signal-to-noise-db = ").append(number(signalToNoise)).append("\n\n[about]\n");
        about.forEach(
                (key, value) ->
                        text.append(quote(key)).append(" = ").append(quote(value)).append('\n'));
        for (Pair pair : pairs) {
            text.append("\n[[pair]]\nfirst = ").append(pair.first());
            text.append("\nsecond = ").append(pair.second()).append('\n');
            pair.values().forEach((m, v) -> append(text, m.key(), v));
            text.append("[pair.quality]\n");
            pair.qualities().forEach((name, score) -> append(text, quote(name), score));
        }
        for (TrueMotion.Round round : inclusions) {
            text.append("\n[[inclusion]]\n");
            append(text, "x", round.x());
            append(text, "depth", round.z());
            append(text, "radius", round.radius());
            append(text, "inside-share", round.insideShare());
        }
        bins(text, "displacement-bin", displacementBins);
        bins(text, "strain-bin", strainBins);
        return text.toString();
    }

    private static void bins(StringBuilder text, String name, List<CalibrationBins.Bin> bins) {
        for (CalibrationBins.Bin bin : bins) {
            text.append("\n[[").append(name).append("]]\n");
            append(text, "predicted", bin.predicted());
            append(text, "found", bin.found());
            append(text, "count", bin.count());
        }
    }

    private static void append(StringBuilder text, String key, double value) {
        text.append(key).append(" = ").append(number(value)).append('\n');
    }

    /** As TOML writes numbers. */
    private static String number(double value) {
        if (Double.isNaN(value)) {
            return "nan";
        }
        if (Double.isInfinite(value)) {
            return value > 0 ? "inf" : "-inf";
        }
        return Double.toString(value);
    }

    private static String quote(String text) {
        StringBuilder quoted = new StringBuilder("\"");
        for (char c : text.toCharArray()) {
            switch (c) {
                case '"' -> quoted.append("\\\"");
                case '\\' -> quoted.append("\\\\");
                case '\n' -> quoted.append("\\n");
                case '\t' -> quoted.append("\\t");
                case '\r' -> quoted.append("\\r");
                default -> {
                    if (c < ' ') {
                        quoted.append(String.format("\\u%04x", (int) c));
                    } else {
                        quoted.append(c);
                    }
                }
            }
        }
        return quoted.append('"').toString();
    }

    /** Reads what {@link #toText} wrote. */
    static CaseMeasures read(Path file) throws IOException {
        TextTable text = TextTable.read(file);
        Map<String, String> about = new LinkedHashMap<>();
        text.table("about").values().forEach((key, list) -> about.put(key, list.get(0)));
        List<Pair> pairs = new ArrayList<>();
        for (TextTable pair : text.tables("pair")) {
            Map<Measure, Double> values = new EnumMap<>(Measure.class);
            for (Measure measure : Measure.values()) {
                if (pair.has(measure.key())) {
                    values.put(measure, pair.number(measure.key(), null));
                }
            }
            Map<String, Double> qualities = new TreeMap<>();
            pair.table("quality")
                    .values()
                    .forEach((key, list) -> qualities.put(key, Double.parseDouble(list.get(0))));
            pairs.add(
                    new Pair(
                            pair.whole("first", null),
                            pair.whole("second", null),
                            values,
                            qualities));
        }
        List<TrueMotion.Round> inclusions = new ArrayList<>();
        for (TextTable round : text.tables("inclusion")) {
            inclusions.add(
                    new TrueMotion.Round(
                            round.number("x", null),
                            round.number("depth", null),
                            round.number("radius", null),
                            round.number("inside-share", null)));
        }
        return new CaseMeasures(
                about,
                text.number("signal-to-noise-db", null),
                pairs,
                inclusions,
                readBins(text.tables("displacement-bin")),
                readBins(text.tables("strain-bin")));
    }

    private static List<CalibrationBins.Bin> readBins(List<TextTable> tables) {
        List<CalibrationBins.Bin> bins = new ArrayList<>();
        for (TextTable bin : tables) {
            bins.add(
                    new CalibrationBins.Bin(
                            bin.number("predicted", null),
                            bin.number("found", null),
                            bin.number("count", null)));
        }
        return bins;
    }
}
