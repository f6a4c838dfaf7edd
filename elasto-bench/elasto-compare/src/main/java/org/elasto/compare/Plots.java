package org.elasto.compare;

import java.awt.Color;
import java.awt.Font;
import org.knowm.xchart.XYChart;
import org.knowm.xchart.XYChartBuilder;
import org.knowm.xchart.XYSeries;
import org.knowm.xchart.style.lines.SeriesLines;
import org.knowm.xchart.style.markers.SeriesMarkers;

/** How all plots look. */
final class Plots {

    private static final Color REFERENCE = Color.BLACK;

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

    private Plots() {}

    static XYChart chart(String title, String x, String y, int width, int height) {
        XYChart chart =
                new XYChartBuilder()
                        .width(width)
                        .height(height)
                        .title(title)
                        .xAxisTitle(x)
                        .yAxisTitle(y)
                        .build();
        chart.getStyler().setChartTitleFont(new Font(Font.SANS_SERIF, Font.PLAIN, 13));
        chart.getStyler().setMarkerSize(6);
        chart.getStyler().setSeriesColors(COLOURS);
        return chart;
    }

    /** The colour of a number, the same in every plot. */
    static Color colour(int number) {
        return COLOURS[number % COLOURS.length];
    }

    /** A dashed black line: what the others are measured by. */
    static void dash(XYSeries series) {
        series.setLineColor(REFERENCE);
        series.setLineStyle(SeriesLines.DASH_DASH);
        series.setMarker(SeriesMarkers.NONE);
    }

    /** Black crosses: the same where there is no line. */
    static void cross(XYSeries series) {
        series.setLineStyle(SeriesLines.NONE);
        series.setMarker(SeriesMarkers.CROSS);
        series.setMarkerColor(REFERENCE);
    }
}
