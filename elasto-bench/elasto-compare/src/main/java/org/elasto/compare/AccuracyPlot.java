package org.elasto.compare;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.elasto.api.plugin.Catalogue;
import org.knowm.xchart.BitmapEncoder;
import org.knowm.xchart.BitmapEncoder.BitmapFormat;
import org.knowm.xchart.XYChart;
import org.knowm.xchart.style.Styler.LegendPosition;

/** Error against strain and against noise, a line for each estimator, with the bound drawn in. */
final class AccuracyPlot {

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
                Plots.chart(
                        "Displacement error; research and engineering use, not a medical device",
                        axis,
                        "root mean square error (um)",
                        800,
                        560);
        chart.getStyler().setYAxisLogarithmic(true);
        chart.getStyler().setXAxisLogarithmic(logarithmic);
        chart.getStyler().setLegendPosition(LegendPosition.OutsideE);
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
            Plots.dash(
                    chart.addSeries(
                            "smallest possible", values(points), micrometres(points, true)));
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
