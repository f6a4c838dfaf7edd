package org.elasto.compare;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Font;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.knowm.xchart.VectorGraphicsEncoder;
import org.knowm.xchart.VectorGraphicsEncoder.VectorGraphicsFormat;
import org.knowm.xchart.XYChart;
import org.knowm.xchart.XYSeries;
import org.knowm.xchart.style.lines.SeriesLines;
import org.knowm.xchart.style.markers.SeriesMarkers;

/** The plots of a report, as SVG. A setting has the same colour in all of them. */
final class ReportPlots {

    /** Size of a plot. */
    static final int WIDTH = 620;

    static final int HEIGHT = 400;

    /** Profiles across end at multiples of this. */
    private static final double MILLIMETRES = 5;

    private static final Color GRID = new Color(0xdddddd);
    private static final String ERROR_AXIS = "displacement error (um)";

    private final Map<String, List<CaseMeasures>> bySetting;

    /**
     * Plots of cases.
     *
     * @param bySetting measures of the cases by displacement and strain estimator
     */
    ReportPlots(Map<String, List<CaseMeasures>> bySetting) {
        this.bySetting = bySetting;
    }

    /** A point of a plot. */
    private record Point(double x, double y) {}

    /** Error against true strain, a mark for each pair of frames; null if there is none. */
    String errorAgainstStrain() throws IOException {
        XYChart chart =
                Plots.chart("", "mean true strain, its size (%)", ERROR_AXIS, WIDTH, HEIGHT);
        fill(
                chart,
                measures -> pairPoints(measures, Measure.DISPLACEMENT_ERROR),
                measures -> pairPoints(measures, Measure.BOUND));
        return svg(chart, true, true);
    }

    private static List<Point> pairPoints(CaseMeasures measures, Measure of) {
        return measures.pairs().stream()
                .map(
                        p ->
                                new Point(
                                        100 * Math.abs(p.value(Measure.TRUE_STRAIN)),
                                        of.shown(p.value(of))))
                .toList();
    }

    /** Error against noise, a mark for each phantom; null if there is none. */
    String errorAgainstNoise() throws IOException {
        XYChart chart =
                Plots.chart("", "echo over noise at middle depth (dB)", ERROR_AXIS, WIDTH, HEIGHT);
        fill(
                chart,
                m -> List.of(noisePoint(m, Measure.DISPLACEMENT_ERROR)),
                m -> List.of(noisePoint(m, Measure.BOUND)));
        return svg(chart, false, true);
    }

    private static Point noisePoint(CaseMeasures measures, Measure of) {
        return new Point(measures.signalToNoise(), of.shown(measures.value(of)));
    }

    /** Error against time, a mark for each source; null if there is none. */
    String errorAgainstTime() throws IOException {
        XYChart chart = Plots.chart("", "time for a pair (ms)", ERROR_AXIS, WIDTH, HEIGHT);
        fill(
                chart,
                m ->
                        List.of(
                                new Point(
                                        m.value(Measure.MILLISECONDS),
                                        Measure.DISPLACEMENT_ERROR.shown(
                                                m.value(Measure.DISPLACEMENT_ERROR)))),
                null);
        return svg(chart, true, true);
    }

    /** Error found against error predicted, of displacement or of strain; null if there is none. */
    String calibration(boolean ofStrain) throws IOException {
        String unit = ofStrain ? " strain deviation (%)" : " displacement deviation (um)";
        double factor = ofStrain ? 100 : 1e6;
        XYChart chart = Plots.chart("", "predicted" + unit, "found" + unit, WIDTH, HEIGHT);
        fill(
                chart,
                m ->
                        (ofStrain ? m.strainBins() : m.displacementBins())
                                .stream()
                                        .map(
                                                b ->
                                                        new Point(
                                                                b.predicted() * factor,
                                                                b.found() * factor))
                                        .toList(),
                null);
        if (chart.getSeriesMap().isEmpty()) {
            return null;
        }
        double least = Double.POSITIVE_INFINITY;
        double most = 0;
        for (XYSeries series : chart.getSeriesMap().values()) {
            for (double[] values : List.of(series.getXData(), series.getYData())) {
                for (double value : values) {
                    least = Math.min(least, value);
                    most = Math.max(most, value);
                }
            }
        }
        XYSeries diagonal =
                chart.addSeries(
                        "as predicted", new double[] {least, most}, new double[] {least, most});
        Plots.dash(diagonal);
        return svg(chart, true, true);
    }

    private void fill(
            XYChart chart,
            Function<CaseMeasures, List<Point>> points,
            Function<CaseMeasures, List<Point>> bounds) {
        int number = 0;
        for (Map.Entry<String, List<CaseMeasures>> entry : bySetting.entrySet()) {
            XYSeries series = add(chart, entry.getKey(), entry.getValue(), points);
            if (series != null) {
                series.setLineStyle(SeriesLines.NONE);
                series.setMarker(SeriesMarkers.CIRCLE);
                series.setMarkerColor(Plots.colour(number));
            }
            number++;
        }
        if (bounds != null && !bySetting.isEmpty()) {
            Map.Entry<String, List<CaseMeasures>> first = bySetting.entrySet().iterator().next();
            XYSeries bound = add(chart, "smallest possible*", first.getValue(), bounds);
            if (bound != null) {
                Plots.cross(bound);
            }
        }
    }

    /** Whose window the smallest possible error belongs to. */
    String boundOf() {
        return bySetting.isEmpty() ? "" : bySetting.keySet().iterator().next();
    }

    private static XYSeries add(
            XYChart chart,
            String name,
            List<CaseMeasures> cases,
            Function<CaseMeasures, List<Point>> points) {
        List<Point> known = new ArrayList<>();
        for (CaseMeasures measures : cases) {
            for (Point point : points.apply(measures)) {
                if (Double.isFinite(point.x()) && Double.isFinite(point.y()) && point.y() > 0) {
                    known.add(point);
                }
            }
        }
        if (known.isEmpty()) {
            return null;
        }
        return chart.addSeries(
                name,
                known.stream().mapToDouble(Point::x).toArray(),
                known.stream().mapToDouble(Point::y).toArray());
    }

    /**
     * Strain along a line through an inclusion, or through the middle of the picture.
     *
     * @param images strain by setting; the one without a name is the true one
     * @param x lateral place (m)
     * @param depth depth (m)
     * @param across whether the line runs across the lines of the scan, or along one
     */
    static String profile(Map<String, StrainImage> images, double x, double depth, boolean across)
            throws IOException {
        XYChart chart =
                Plots.chart(
                        "",
                        across ? "lateral place (mm)" : "depth (mm)",
                        "axial strain (%)",
                        WIDTH,
                        HEIGHT);
        List<String> names = new ArrayList<>(images.keySet());
        names.sort((a, b) -> Boolean.compare(!a.isEmpty(), !b.isEmpty())); // the truth lies below
        int number = 0;
        for (String name : names) {
            List<Point> points = points(images.get(name), x, depth, across);
            boolean truth = name.isEmpty();
            if (!points.isEmpty()) {
                XYSeries series =
                        chart.addSeries(
                                truth ? "true" : name,
                                points.stream().mapToDouble(Point::x).toArray(),
                                points.stream().mapToDouble(Point::y).toArray());
                series.setMarker(SeriesMarkers.NONE);
                series.setLineColor(truth ? Color.BLACK : Plots.colour(number));
                series.setLineWidth(truth ? 3 : 1.5f);
            }
            number += truth ? 0 : 1;
        }
        if (across) {
            ScanGeometry geometry = images.get(names.get(0)).layout().geometry();
            double edge = MILLIMETRES * Math.ceil(-1e3 * geometry.x(0, depth) / MILLIMETRES);
            chart.getStyler().setXAxisMin(-edge).setXAxisMax(edge);
        }
        return svg(chart, false, false);
    }

    /** Places that are not trusted are gaps. */
    private static List<Point> points(StrainImage image, double x, double depth, boolean across) {
        RowGrid grid = image.layout().grid();
        ScanGeometry geometry = image.layout().geometry();
        int row = clamp((int) Math.rint(grid.rowAt(geometry.depthAt(x, depth))), grid.rows());
        int line = clamp((int) Math.rint(geometry.lineAt(x, depth)), image.lines());
        List<Point> points = new ArrayList<>();
        int count = across ? image.lines() : grid.rows();
        for (int i = 0; i < count; i++) {
            int l = across ? i : line;
            int r = across ? row : i;
            int at = l * grid.rows() + r;
            double place = across ? geometry.x(l, grid.depth(r)) : grid.depth(r);
            double value = image.trusted()[at] ? 100 * image.axial()[at] : Double.NaN;
            points.add(new Point(1e3 * place, value));
        }
        return points.stream().allMatch(p -> Double.isNaN(p.y())) ? List.of() : points;
    }

    private static int clamp(int index, int size) {
        return Math.max(0, Math.min(size - 1, index));
    }

    private static String svg(XYChart chart, boolean logarithmicX, boolean logarithmicY)
            throws IOException {
        if (chart.getSeriesMap().isEmpty()) {
            return null;
        }
        chart.getStyler().setChartTitleVisible(false);
        chart.getStyler().setXAxisLogarithmic(logarithmicX);
        chart.getStyler().setYAxisLogarithmic(logarithmicY);
        chart.getStyler().setLegendVisible(false); // the page has one
        if (logarithmicX) {
            double[] decades = decades(chart, XYSeries::getXData);
            chart.getStyler().setXAxisMin(decades[0]).setXAxisMax(decades[1]);
        }
        if (logarithmicY) {
            double[] decades = decades(chart, XYSeries::getYData);
            chart.getStyler().setYAxisMin(decades[0]).setYAxisMax(decades[1]);
        }
        chart.getStyler().setChartBackgroundColor(Color.WHITE);
        chart.getStyler().setPlotBorderVisible(false);
        chart.getStyler().setPlotGridLinesStroke(new BasicStroke(0.5f));
        chart.getStyler().setPlotGridLinesColor(GRID);
        chart.getStyler().setAxisTickLabelsFont(new Font(Font.SANS_SERIF, Font.PLAIN, 13));
        chart.getStyler().setAxisTitleFont(new Font(Font.SANS_SERIF, Font.PLAIN, 14));
        chart.getStyler().setLegendFont(new Font(Font.SANS_SERIF, Font.PLAIN, 13));
        chart.getStyler().setDecimalPattern("#,##0.####");
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        VectorGraphicsEncoder.saveVectorGraphic(chart, out, VectorGraphicsFormat.SVG);
        // Hundredths of a pixel are enough; as they come, digits make most of the size.
        String slim = out.toString(StandardCharsets.UTF_8).replaceAll("(\\.\\d\\d)\\d+", "$1");
        return Html.data("image/svg+xml", slim.getBytes(StandardCharsets.UTF_8));
    }

    /** The whole decades that hold all values. */
    private static double[] decades(XYChart chart, Function<XYSeries, double[]> values) {
        double[] all =
                chart.getSeriesMap().values().stream()
                        .flatMapToDouble(series -> Arrays.stream(values.apply(series)))
                        .toArray();
        return new double[] {
            Math.pow(10, Math.floor(Math.log10(Arrays.stream(all).min().getAsDouble()))),
            Math.pow(10, Math.ceil(Math.log10(Arrays.stream(all).max().getAsDouble())))
        };
    }

    /** The colours of settings, for the page. */
    static String key(Iterable<String> settings, String... black) {
        StringBuilder key = new StringBuilder("<p class=\"key\">");
        int number = 0;
        for (String setting : settings) {
            String colour = String.format("#%06x", Plots.colour(number++).getRGB() & 0xffffff);
            key.append("<span><i style=\"background:").append(colour).append("\"></i>");
            key.append(Html.text(setting)).append("</span>");
        }
        for (String name : black) {
            key.append("<span><i style=\"background:#000\"></i>");
            key.append(Html.text(name)).append("</span>");
        }
        return key.append("</p>\n").toString();
    }
}
