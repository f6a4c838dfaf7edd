package org.elasto.strain.picture;

import org.elasto.api.LineLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;

/**
 * Paints the insides of the echo and the strain panel, some rows of pixels at a time. Rows may be
 * painted by several workers at once; apart from that, one thread at a time.
 */
abstract class PanelPainter {

    final PictureLayout layout;
    final EchoPicture echo;

    /** Lines of the hatch are so far apart. */
    final int hatchPeriod;

    // What is painted, and where.
    float[] plane;
    boolean[] trusted;
    int[] argb;

    private final int[] palette;
    private int pictureWidth;
    private float colourGain;

    PanelPainter(PictureLayout layout, EchoPicture echo, ColourScale colours) {
        this.layout = layout;
        this.echo = echo;
        palette = colours.palette();
        hatchPeriod = Hatch.period(layout.unit);
    }

    /** The quickest one for a geometry. */
    static PanelPainter of(
            PictureLayout layout,
            EchoPicture echo,
            ColourScale colours,
            ScanGeometry geometry,
            RowGrid grid,
            Workers workers) {
        return geometry.layout() instanceof LineLayout.Linear
                ? new LinearPainter(layout, echo, colours, geometry, grid, workers.count())
                : new ScanPainter(layout, echo, colours, geometry, grid);
    }

    void begin(Picture picture, float[] newPlane, boolean[] newTrusted, double largest) {
        argb = picture.argb();
        pictureWidth = picture.width();
        plane = newPlane;
        trusted = newTrusted;
        colourGain = largest > 0 ? (float) ((palette.length - 1) / largest) : 0;
    }

    final void end() {
        argb = null;
        plane = null;
        trusted = null;
    }

    /** Tasks that paint all rows of both panels. */
    abstract int tasks();

    /** Paints some rows of both panels. */
    abstract void paint(int task, int worker);

    /** The first pixel of a row of a panel. */
    final int firstPixel(PictureScale panel, int y) {
        return (panel.top() + y) * pictureWidth + panel.left();
    }

    /** Brightness of a level from 0 to 1. */
    static int grey(float level) {
        return (int) (level * 255 + 0.5f);
    }

    /** Steps of the palette for each unit of strain. */
    final float paletteGain() {
        return colourGain;
    }

    final int colour(float size) {
        return palette[(int) (Math.min(palette.length - 1, size * colourGain) + 0.5f)];
    }

    final boolean isTrusted(int place) {
        return trusted[place] && !Float.isNaN(plane[place]);
    }
}
