package org.elasto.compare;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.QualityMetricProvider;
import org.elasto.strain.picture.Cautions;

/** The report of a comparison: one page that needs nothing beside it. */
final class Report {

    private static final String[] NAMES = {"source", "displacement", "strain"};

    private final ComparisonFile plan;
    private final Map<ComparisonCase, CaseOutcome> outcomes;
    private final Map<PlannedSource, Path> shownFrames;
    private final Workers workers;
    private final Map<ComparisonCase, CaseMeasures> done = new LinkedHashMap<>();
    private final StringBuilder page = new StringBuilder();

    Report(
            ComparisonFile plan,
            Map<ComparisonCase, CaseOutcome> outcomes,
            Map<PlannedSource, Path> shownFrames,
            Workers workers) {
        this.plan = plan;
        this.outcomes = outcomes;
        this.shownFrames = shownFrames;
        this.workers = workers;
        outcomes.forEach(
                (work, outcome) -> {
                    if (outcome.done()) {
                        done.put(work, outcome.measures());
                    }
                });
    }

    /** The page. */
    String html() throws IOException {
        String title = Html.text(plan.title());
        page.append("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
        page.append("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
        page.append("<link rel=\"icon\" href=\"data:,\">\n");
        page.append("<title>").append(title).append("</title>\n<style>\n");
        page.append(Html.resource("report.css")).append("</style>\n</head>\n<body>\n");
        page.append("<h1>").append(title).append("</h1>\n");
        page.append("<p class=\"cautions\">").append(Html.text(Cautions.TEXT)).append("</p>\n");
        page.append(
                "<nav><a href=\"#compared\">What was compared</a><a href=\"#outcome\">Outcome</a><a"
                        + " href=\"#pictures\">Pictures</a><a href=\"#plots\">Plots</a><a"
                        + " href=\"#repeat\">To repeat it</a></nav>\n");
        compared();
        problems();
        outcome();
        pictures();
        plots();
        repeat();
        page.append("<p class=\"cautions\">").append(Html.text(Cautions.TEXT)).append("</p>\n");
        page.append("<script>\n").append(Html.resource("report.js")).append("</script>\n");
        return page.append("</body>\n</html>\n").toString();
    }

    private void heading(String id, String text) {
        page.append("<h2 id=\"").append(id).append("\">").append(text).append("</h2>\n");
    }

    private void compared() {
        heading("compared", "What was compared");
        page.append("<p>")
                .append(plan.estimators().size())
                .append(" displacement estimator(s) with ");
        page.append(plan.strains().size()).append(" strain estimator(s) on ");
        page.append(plan.sources().size()).append(" recording(s) and phantom(s): ");
        page.append(done.size()).append(" of ").append(outcomes.size());
        page.append(" cases could be done.</p>\n<div class=\"wide\"><table><thead><tr>");
        for (String name :
                new String[] {"source", "parameters", "frames", "scan", "true motion", "noise"}) {
            page.append("<th>").append(name).append("</th>");
        }
        page.append("</tr></thead><tbody>\n");
        for (PlannedSource source : plan.sources()) {
            CaseMeasures measures = anyOf(source);
            Map<String, String> about = measures == null ? Map.of() : measures.about();
            page.append("<tr>");
            cell("name", source.label());
            cell("", source.parameters().replace(",", ", "));
            cell("", about.getOrDefault("frames", "-"));
            cell("", about.getOrDefault("scan", "could not be read"));
            cell("", measures == null ? "-" : hasTruth(measures) ? "known" : "not known");
            double ratio = measures == null ? Double.NaN : measures.signalToNoise();
            cell("", Double.isNaN(ratio) ? "not known" : Texts.number("%.0f dB below", ratio));
            page.append("</tr>\n");
            if (about.containsKey("damage")) {
                page.append("<tr><td colspan=\"6\" class=\"problems\">damaged: ");
                page.append(Html.text(about.get("damage"))).append("</td></tr>\n");
            }
        }
        page.append("</tbody></table></div>\n");
    }

    private CaseMeasures anyOf(PlannedSource source) {
        return done.entrySet().stream()
                .filter(e -> e.getKey().source().equals(source))
                .map(Map.Entry::getValue)
                .findFirst()
                .orElse(null);
    }

    private static boolean hasTruth(CaseMeasures measures) {
        return !Double.isNaN(measures.value(Measure.TRUE_STRAIN));
    }

    private void cell(String kind, String text) {
        page.append(kind.isEmpty() ? "<td>" : "<td class=\"" + kind + "\">");
        page.append(Html.text(text)).append("</td>");
    }

    private void problems() {
        if (done.size() == outcomes.size()) {
            return;
        }
        page.append("<div class=\"problems\"><h3>Cases that failed</h3><ul>\n");
        outcomes.forEach(
                (work, outcome) -> {
                    if (!outcome.done()) {
                        page.append("<li><b>").append(Html.text(work.label())).append("</b>: ");
                        page.append(Html.text(outcome.problem())).append("</li>\n");
                    }
                });
        page.append("</ul></div>\n");
    }

    private void outcome() {
        heading("outcome", "Outcome");
        List<Measure> measures =
                Arrays.stream(Measure.values())
                        .filter(m -> done.values().stream().anyMatch(c -> known(c.value(m))))
                        .toList();
        TreeSet<String> qualities = new TreeSet<>();
        done.values()
                .forEach(c -> c.pairs().forEach(p -> qualities.addAll(p.qualities().keySet())));
        page.append(
                "<p class=\"note\">Press a heading to sort. Bold: the best of its source. Where the"
                        + " page is narrow, the table moves sideways.</p>\n");
        table("table", measures, new TreeSet<>());
        if (!qualities.isEmpty()) {
            page.append("<p class=\"note\">Scores of quality metrics, 0 to 1; they do not need");
            page.append(" to know the true motion:</p>\n");
            table("quality", List.of(), qualities);
        }
        page.append("<dl>\n");
        measures.forEach(m -> definition(m.label(), m.meaning()));
        for (QualityMetricProvider<?> metric : Catalogue.qualityMetrics().providers()) {
            if (qualities.contains(metric.name())) {
                definition(
                        metric.name(),
                        metric.summary()
                                + "; 0: "
                                + metric.meaningOfZero()
                                + ", 1: "
                                + metric.meaningOfOne());
            }
        }
        page.append(
                "</dl>\n<p class=\"note\">Over all pairs of neighbouring frames. True strain is");
        page.append(" what the same strain estimator makes of the true displacement, so that");
        page.append(" errors of strain are those of tracking. Half a window at the ends of the");
        page.append(" lines is left out of gross, known and error / predicted.</p>\n");
    }

    /** A table that can be sorted, a row for each case. */
    private void table(String id, List<Measure> measures, TreeSet<String> qualities) {
        page.append("<div class=\"wide\"><table class=\"cases\" id=\"").append(id);
        page.append("\"><thead><tr>");
        for (String name : NAMES) {
            if (name.equals("strain") && plan.strains().size() == 1) {
                continue; // the same in every row
            }
            page.append("<th><button type=\"button\">").append(name).append("</button></th>");
        }
        measures.forEach(m -> column(m.label(), m.unit(), m.meaning()));
        qualities.forEach(name -> column(name, "", "score of the quality metric, 0 to 1"));
        page.append("</tr></thead><tbody>\n");
        done.forEach((work, c) -> row(work, c, measures, qualities));
        page.append("</tbody></table></div>\n");
    }

    private static boolean known(double value) {
        return !Double.isNaN(value);
    }

    private void column(String label, String unit, String meaning) {
        page.append("<th class=\"number\" title=\"").append(Html.text(meaning));
        page.append("\"><button type=\"button\">").append(Html.text(label)).append("</button>");
        page.append("<span class=\"unit\">").append(Html.text(unit)).append("</span></th>");
    }

    private void definition(String name, String meaning) {
        page.append("<dt>").append(Html.text(name)).append("</dt><dd>");
        page.append(Html.text(meaning)).append("</dd>\n");
    }

    private void row(
            ComparisonCase work,
            CaseMeasures c,
            List<Measure> measures,
            TreeSet<String> qualities) {
        page.append("<tr>");
        cell("name", work.source().label());
        cell("name", work.estimator().label());
        if (plan.strains().size() > 1) {
            cell("name", work.strain().label());
        }
        for (Measure measure : measures) {
            double value = c.value(measure);
            number(measure.shown(value), measure.text(value), isBest(work, measure, value));
        }
        for (String name : qualities) {
            number(c.quality(name), Texts.number("%.3f", c.quality(name)), false);
        }
        page.append("</tr>\n");
    }

    private void number(double value, String text, boolean best) {
        page.append("<td class=\"number").append(best ? " best" : "").append("\" data-value=\"");
        page.append(Double.isNaN(value) ? "" : value).append("\">").append(text).append("</td>");
    }

    private boolean isBest(ComparisonCase work, Measure measure, double value) {
        boolean least =
                measure == Measure.DISPLACEMENT_ERROR
                        || measure == Measure.STRAIN_ERROR
                        || measure == Measure.MILLISECONDS;
        double sign = least ? 1 : measure == Measure.CONTRAST_TO_NOISE ? -1 : 0;
        return sign != 0
                && done.entrySet().stream()
                        .filter(e -> e.getKey().source().equals(work.source()))
                        .mapToDouble(e -> e.getValue().value(measure))
                        .noneMatch(other -> sign * other < sign * value || Double.isNaN(value));
    }

    private void pictures() throws IOException {
        heading("pictures", "Pictures side by side");
        for (PlannedSource source : plan.sources()) {
            Map<String, CaseOutcome> cases = new LinkedHashMap<>();
            done.keySet().stream()
                    .filter(work -> work.source().equals(source))
                    .forEach(work -> cases.put(setting(work), outcomes.get(work)));
            Path frame = shownFrames.get(source);
            if (cases.isEmpty() || !source.pictures() || frame == null || !Files.exists(frame)) {
                continue;
            }
            page.append("<section><h3>").append(Html.text(source.label())).append("</h3>\n");
            ReportPictures pictures = new ReportPictures(plan.look(), frame, cases, workers);
            page.append(pictures.figures());
            profiles(pictures, cases.values().iterator().next().measures());
            page.append("</section>\n");
        }
    }

    private void profiles(ReportPictures pictures, CaseMeasures measures) throws IOException {
        double x = 0;
        double depth;
        String where;
        if (measures.inclusions().isEmpty()) {
            var layout = pictures.images().values().iterator().next().layout();
            depth = (layout.grid().firstDepth() + layout.grid().lastDepth()) / 2;
            where = "through the middle of the picture";
        } else {
            x = measures.inclusions().get(0).x();
            depth = measures.inclusions().get(0).z();
            where =
                    String.format(
                            java.util.Locale.ROOT,
                            "through the inclusion at x %+.1f mm, depth %.1f mm",
                            x * 1e3,
                            depth * 1e3);
        }
        List<String> names = new ArrayList<>(pictures.images().keySet());
        boolean truth = names.remove("");
        page.append(ReportPlots.key(names, truth ? new String[] {"true strain"} : new String[0]));
        page.append("<div class=\"plots\">\n");
        plot(
                ReportPlots.profile(pictures.images(), x, depth, true),
                "Strain across the lines, " + where);
        plot(
                ReportPlots.profile(pictures.images(), x, depth, false),
                "Strain along a line, " + where);
        page.append("</div>\n");
    }

    private void plot(String address, String caption) {
        if (address != null) {
            page.append(
                    Html.figure("plot", address, ReportPlots.WIDTH, ReportPlots.HEIGHT, caption));
        }
    }

    /** Displacement estimator, and strain estimator where there are several. */
    private String setting(ComparisonCase work) {
        return plan.strains().size() == 1
                ? work.estimator().label()
                : work.estimator().label() + ", " + work.strain().label();
    }

    private void plots() throws IOException {
        heading("plots", "Plots");
        Map<String, List<CaseMeasures>> bySetting = new LinkedHashMap<>();
        done.forEach(
                (work, c) ->
                        bySetting.computeIfAbsent(setting(work), k -> new ArrayList<>()).add(c));
        ReportPlots plots = new ReportPlots(bySetting);
        page.append(
                ReportPlots.key(bySetting.keySet(), "crosses: smallest possible*; dashed: right"));
        page.append("<div class=\"plots\">\n");
        String bound =
                " *for the window of "
                        + Html.text(plots.boundOf())
                        + ", on phantoms (Knapp and Carter, 1976); what averages farther may lie"
                        + " below";
        plot(
                plots.errorAgainstStrain(),
                "Error of displacement against strain; a mark for each pair of frames." + bound);
        plot(
                plots.errorAgainstNoise(),
                "Error of displacement against noise; a mark for each phantom." + bound);
        plot(
                plots.errorAgainstTime(),
                "Error of displacement against the time for a pair; a mark for each source");
        plot(
                plots.calibration(false),
                "Deviation of displacement found against predicted: on the dashed line the"
                        + " prediction is right");
        plot(
                plots.calibration(true),
                "Deviation of strain found against predicted: on the dashed line the prediction"
                        + " is right");
        page.append("</div>\n");
        if (done.values().stream().noneMatch(Report::hasTruth)) {
            page.append("<p>No true motion is known, so there is nothing to plot.</p>\n");
        }
    }

    private void repeat() {
        heading("repeat", "To repeat it");
        page.append("<dl>\n");
        definition("elasto", Main.Version.text());
        definition(
                "Java",
                System.getProperty("java.vm.name") + " " + System.getProperty("java.version"));
        definition("system", System.getProperty("os.name") + " " + System.getProperty("os.arch"));
        definition("threads", "" + workers.count());
        page.append("</dl>\n<h3>Every parameter</h3>\n<dl>\n");
        for (String key : new String[] {"displacement estimator", "strain estimator"}) {
            Map<String, String> texts = new LinkedHashMap<>();
            done.forEach(
                    (work, c) ->
                            texts.put(
                                    key.startsWith("disp")
                                            ? work.estimator().label()
                                            : work.strain().label(),
                                    c.about().get(key)));
            texts.forEach(this::definition);
        }
        page.append("</dl>\n<h3>The comparison's file</h3>\n<p>Save it as <i>comparison.toml</i>");
        page.append(" and run <code>java -jar elasto-compare.jar compare comparison.toml</code>");
        page.append("</p>\n<pre id=\"file\">").append(Html.text(plan.text())).append("</pre>\n");
    }
}
