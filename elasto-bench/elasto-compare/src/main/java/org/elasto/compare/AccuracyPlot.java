package org.elasto.compare;

import java.awt.Color;
import java.awt.Font;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
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

    private AccuracyPlot() {}

    static void write(Map<String, List<Accuracy>> results, Path file) throws IOException {
        List<XYChart> charts = new ArrayList<>();
        add(charts, results, "strain", "strain from frame to frame (%)", true);
        add(charts, results, "noise", "echo over noise at 15 mm (dB)", false);
        add(charts, results, "correlation", "correlation of the echoes", false);
        add(charts, results, "drift", "sideways drift (um)", false);
        if (!charts.isEmpty()) {
            BitmapEncoder.saveBitmap(
                    charts,
                    (charts.size() + 1) / 2,
                    Math.min(2, charts.size()),
                    file.toString(),
                    BitmapFormat.PNG);
        }
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
        results.forEach(
                (name, list) -> {
                    List<Accuracy> points =
                            list.stream()
                                    .filter(a -> a.condition().group().equals(group))
                                    .filter(a -> a.error() > 0)
                                    .toList();
                    if (points.size() > 1) {
                        addSeries(chart, name, points);
                    }
                });
        if (!chart.getSeriesMap().isEmpty()) {
            charts.add(chart);
        }
    }

    private static void addSeries(XYChart chart, String name, List<Accuracy> points) {
        double[] x = points.stream().mapToDouble(a -> a.condition().value()).toArray();
        chart.addSeries(name, x, points.stream().mapToDouble(a -> a.error() * 1e6).toArray());
        // The bound of the first estimator stands for all: windows are alike in size.
        if (!chart.getSeriesMap().containsKey("smallest possible (its window)")) {
            XYSeries bound =
                    chart.addSeries(
                            "smallest possible (its window)",
                            x,
                            points.stream().mapToDouble(a -> a.bound() * 1e6).toArray());
            bound.setLineColor(BOUND);
            bound.setLineStyle(SeriesLines.DASH_DASH);
            bound.setMarker(SeriesMarkers.NONE);
        }
    }
}
