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

    /** What a worker needs. */
    private record Scratch(
            EchoBand echo, StrainBand strain, StrainGaps gaps, int[] echoRow, int[] strainRow) {}

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
        scratch = new Scratch[workers];
        for (int i = 0; i < workers; i++) {
            scratch[i] =
                    new Scratch(
                            new EchoBand(echo, echoRows, columns, lines, BAND),
                            new StrainBand(strainRows, columns, colours, lines, grid.rows(), BAND),
                            new StrainGaps(strainRows, columns, lines, grid.rows(), layout.unit),
                            new int[columns.width],
                            new int[columns.width]);
        }
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
        s.strain.begin(from, to, plane, trusted, paletteGain());
        s.gaps.begin();
        for (int y = from; y < to; y++) {
            row(y, s);
            show(s.echoRow, firstPixel(layout.echo, y));
            show(s.strainRow, firstPixel(layout.strain, y));
        }
    }

    private void row(int y, Scratch s) {
        if (echoRows.at[y] < 0) {
            Arrays.fill(s.echoRow, Decoration.BLANK);
            Arrays.fill(s.strainRow, Decoration.BLANK);
            return;
        }
        s.echo.paint(y, s.echoRow);
        if (strainRows.at[y] < 0) {
            s.gaps.paintBlind(y, s.echoRow, s.strainRow);
            return;
        }
        s.strain.paint(y, s.strainRow);
        if (!s.strain.isWhole(y)) {
            s.gaps.paint(y, s.strain, this, s.echoRow, s.strainRow);
        }
    }

    private void show(int[] row, int pixel) {
        Arrays.fill(row, 0, columns.first, Decoration.BLANK);
        Arrays.fill(row, columns.end, columns.width, Decoration.BLANK);
        System.arraycopy(row, 0, argb, pixel, columns.width);
    }
}
