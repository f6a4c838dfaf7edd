package org.elasto.compare;

import java.awt.Color;
import java.awt.Font;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import org.elasto.api.plugin.Catalogue;
import org.knowm.xchart.BitmapEncoder;
import org.knowm.xchart.BitmapEncoder.BitmapFormat;
import org.knowm.xchart.XYChart;
import org.knowm.xchart.XYChartBuilder;
import org.knowm.xchart.XYSeries;
import org.knowm.xchart.style.Styler.LegendPosition;
import org.knowm.xchart.style.colors.ColorBlindFriendlySeriesColors;
import org.knowm.xchart.style.lines.SeriesLines;
import org.knowm.xchart.style.markers.SeriesMarkers;

/** Signal over noise of strain against strain, a line for each estimator. */
final class StrainFilterPlot {

    private StrainFilterPlot() {}

    static void write(Map<String, List<StrainFilter>> results, Path file) throws IOException {
        XYChart chart =
                new XYChartBuilder()
                        .width(1000)
                        .height(640)
                        .title(
                                "Signal over noise of strain; research and engineering use, not a"
                                        + " medical device")
                        .xAxisTitle("strain from frame to frame (%)")
                        .yAxisTitle("mean over standard deviation")
                        .build();
        chart.getStyler().setXAxisLogarithmic(true);
        chart.getStyler().setYAxisLogarithmic(true);
        chart.getStyler().setLegendPosition(LegendPosition.OutsideE);
        chart.getStyler().setChartTitleFont(new Font(Font.SANS_SERIF, Font.PLAIN, 13));
        chart.getStyler().setMarkerSize(6);
        chart.getStyler().setSeriesColors(new ColorBlindFriendlySeriesColors().getSeriesColors());
        results.forEach(
                (name, list) -> {
                    List<StrainFilter> known =
                            list.stream().filter(f -> f.signalToNoise() > 0).toList();
                    if (!known.isEmpty()) {
                        chart.addSeries(
                                name,
                                percent(known),
                                known.stream().mapToDouble(StrainFilter::signalToNoise).toArray());
                    }
                });
        addBound(chart, results);
        BitmapEncoder.saveBitmap(chart, file.toString(), BitmapFormat.PNG);
    }

    /** The bound belongs to a strain estimator: the preferred one, or else the first. */
    private static void addBound(XYChart chart, Map<String, List<StrainFilter>> results) {
        String preferred = Catalogue.strainEstimators().preferred().name();
        String name =
                results.containsKey(preferred) ? preferred : results.keySet().iterator().next();
        List<StrainFilter> list = results.get(name);
        XYSeries bound =
                chart.addSeries(
                        name + ", smallest possible errors",
                        percent(list),
                        list.stream().mapToDouble(StrainFilter::bound).toArray());
        bound.setLabel(name + ",\nsmallest possible\ndisplacement errors");
        bound.setLineColor(Color.BLACK);
        bound.setLineStyle(SeriesLines.DASH_DASH);
        bound.setMarker(SeriesMarkers.NONE);
    }

    private static double[] percent(List<StrainFilter> list) {
        return list.stream().mapToDouble(f -> f.applied() * 100).toArray();
    }
}
