package org.elasto.compare;

import java.awt.Color;
import java.awt.Font;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.elasto.api.plugin.Catalogue;
import org.knowm.xchart.BitmapEncoder;
import org.knowm.xchart.BitmapEncoder.BitmapFormat;
import org.knowm.xchart.XYChart;
import org.knowm.xchart.XYChartBuilder;
import org.knowm.xchart.XYSeries;
import org.knowm.xchart.style.Styler.LegendPosition;
import org.knowm.xchart.style.lines.SeriesLines;
import org.knowm.xchart.style.markers.SeriesMarkers;

/** Error against strain and against noise, a line for each estimator, with the bound drawn in. */
final class AccuracyPlot {

    private static final Color BOUND = Color.BLACK;

    /** Colours that can be told apart, also by those who do not tell red from green. */
    private static final Color[] COLOURS = {
        new Color(0x0072b2),
        new Color(0xe69f00),
        new Color(0x009e73),
        new Color(0xcc79a7),
        new Color(0x56b4e9),
        new Color(0xd55e00),
        new Color(0x7a5195),
        new Color(0x8c6d31),
        new Color(0x666666),
        new Color(0xb10026),
    };

    private AccuracyPlot() {}

    /** Draws what there is to draw; returns whether there was anything. */
    static boolean write(Map<String, List<Accuracy>> results, Path file) throws IOException {
        List<XYChart> charts = new ArrayList<>();
        add(charts, results, "strain", "strain from frame to frame (%)", true);
        add(charts, results, "noise", "echo over noise at 15 mm (dB)", false);
        add(charts, results, "correlation", "correlation of the echoes", false);
        add(charts, results, "drift", "sideways drift (um)", false);
        if (charts.isEmpty()) {
            return false;
        }
        BitmapEncoder.saveBitmap(
                charts,
                (charts.size() + 1) / 2,
                Math.min(2, charts.size()),
                file.toString(),
                BitmapFormat.PNG);
        return true;
    }

    private static void add(
            List<XYChart> charts,
            Map<String, List<Accuracy>> results,
            String group,
            String axis,
            boolean logarithmic) {
        XYChart chart =
                new XYChartBuilder()
                        .width(800)
                        .height(560)
                        .title(
                                "Displacement error; research and engineering use, not a medical"
                                        + " device")
                        .xAxisTitle(axis)
                        .yAxisTitle("root mean square error (um)")
                        .build();
        chart.getStyler().setYAxisLogarithmic(true);
        chart.getStyler().setXAxisLogarithmic(logarithmic);
        chart.getStyler().setLegendPosition(LegendPosition.OutsideE);
        chart.getStyler().setChartTitleFont(new Font(Font.SANS_SERIF, Font.PLAIN, 13));
        chart.getStyler().setMarkerSize(6);
        chart.getStyler().setSeriesColors(COLOURS);
        results.forEach(
                (name, list) -> {
                    List<Accuracy> points = points(list, group);
                    if (points.size() > 1) {
                        chart.addSeries(name, values(points), micrometres(points, false));
                    }
                });
        addBound(chart, results, group);
        if (!chart.getSeriesMap().isEmpty()) {
            charts.add(chart);
        }
    }

    /** The bound belongs to a window: that of the preferred estimator, or else of the first. */
    private static void addBound(XYChart chart, Map<String, List<Accuracy>> results, String group) {
        String preferred = Catalogue.displacementEstimators().preferred().name();
        String name =
                results.containsKey(preferred) ? preferred : results.keySet().iterator().next();
        List<Accuracy> points = points(results.get(name), group);
        if (points.size() > 1) {
            XYSeries bound =
                    chart.addSeries("smallest possible", values(points), micrometres(points, true));
            bound.setLineColor(BOUND);
            bound.setLineStyle(SeriesLines.DASH_DASH);
            bound.setMarker(SeriesMarkers.NONE);
        }
    }

    private static List<Accuracy> points(List<Accuracy> list, String group) {
        return list.stream()
                .filter(a -> a.condition().group().equals(group))
                .filter(a -> a.error() > 0)
                .toList();
    }

    private static double[] values(List<Accuracy> points) {
        return points.stream().mapToDouble(a -> a.condition().value()).toArray();
    }

    private static double[] micrometres(List<Accuracy> points, boolean bound) {
        return points.stream().mapToDouble(a -> (bound ? a.bound() : a.error()) * 1e6).toArray();
    }
}
