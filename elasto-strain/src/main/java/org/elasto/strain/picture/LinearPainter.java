package org.elasto.strain.picture;

import java.util.Arrays;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * Paints scans of linear arrays, where a row of pixels lies between two rows of a plane all along,
 * in bands of some rows: the same picture as by {@link ScanPainter} but for rounding.
 */
final class LinearPainter extends PanelPainter {

    /** Rows of pixels that are painted together; the more, the fewer rows are fetched twice. */
    private static final int BAND = 48;

    private final AxisMap echoRows;
    private final AxisMap strainRows;
    private final ColumnMap columns;
    private final Scratch[] scratch;

    /** Strain as steps of the palette. */
    private final float[] strainSteps;

    /** What a worker needs. */
    private record Scratch(EchoBand echo, StrainBand strain, StrainGaps gaps) {}

    LinearPainter(
            PictureLayout layout,
            EchoPicture echo,
            ColourScale colours,
            ScanGeometry geometry,
            RowGrid grid,
            int workers) {
        super(layout, echo, colours);
        int lines = geometry.lines();
        echoRows = AxisMap.ofRows(layout.echo, geometry, echo.grid());
        strainRows = AxisMap.ofRows(layout.strain, geometry, grid);
        columns = new ColumnMap(layout.echo, geometry);
        strainSteps = new float[lines * grid.rows()];
        scratch = new Scratch[workers];
        for (int i = 0; i < workers; i++) {
            scratch[i] =
                    new Scratch(
                            new EchoBand(echo, echoRows, columns, lines, BAND),
                            new StrainBand(strainRows, columns, colours, lines, grid.rows(), BAND),
                            new StrainGaps(strainRows, columns, lines, grid.rows(), layout.unit));
        }
    }

    @Override
    void begin(Picture picture, float[] newPlane, boolean[] newTrusted, double largest) {
        super.begin(picture, newPlane, newTrusted, largest);
        StrainBand.steps(newPlane, paletteGain(), strainSteps, strainSteps.length);
    }

    @Override
    int tasks() {
        return (layout.echo.height() + BAND - 1) / BAND;
    }

    /** A band of rows. */
    @Override
    void paint(int task, int worker) {
        Scratch s = scratch[worker];
        int from = task * BAND;
        int to = Math.min(layout.echo.height(), from + BAND);
        s.echo.begin(from, to);
        s.strain.begin(from, to, strainSteps, trusted);
        s.gaps.begin();
        for (int y = from; y < to; y++) {
            if (echoRows.at[y] < 0) {
                blank(y);
                continue;
            }
            int[] echoColours = s.echo.paint(y);
            show(echoColours, firstPixel(layout.echo, y));
            show(strain(y, echoColours, s), firstPixel(layout.strain, y));
        }
    }

    private int[] strain(int y, int[] echoColours, Scratch s) {
        if (strainRows.at[y] < 0) {
            return s.gaps.paintBlind(y, echoColours);
        }
        int[] row = s.strain.paint(y);
        if (!s.strain.isWhole(y)) {
            s.gaps.paint(y, s.strain, this, echoColours, row);
        }
        return row;
    }

    /** A row outside the scan. */
    private void blank(int y) {
        int echoPixel = firstPixel(layout.echo, y);
        int strainPixel = firstPixel(layout.strain, y);
        Arrays.fill(argb, echoPixel, echoPixel + columns.width, Decoration.BLANK);
        Arrays.fill(argb, strainPixel, strainPixel + columns.width, Decoration.BLANK);
    }

    private void show(int[] row, int pixel) {
        System.arraycopy(row, 0, argb, pixel, columns.width);
        Arrays.fill(argb, pixel, pixel + columns.first, Decoration.BLANK);
        Arrays.fill(argb, pixel + columns.end, pixel + columns.width, Decoration.BLANK);
    }
}
