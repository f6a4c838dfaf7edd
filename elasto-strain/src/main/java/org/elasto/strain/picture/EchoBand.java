package org.elasto.strain.picture;

import org.elasto.strain.shared.AlignedRows;

/**
 * Paints rows of the echo panel of a linear array: turns a band of the echoes over, so that a row
 * lies together, and interpolates first between rows, once for every line, and then between lines.
 * One thread at a time.
 */
final class EchoBand {

    /** Bits of a place between two rows or lines. */
    private static final int PLACE = 16;

    private final EchoPicture echo;
    private final AxisMap rows;
    private final ColumnMap columns;
    private final int lines;

    /** Brightness, row after row. */
    private final int[] band;

    private int firstRow;

    /** For every line: two rows, what lies between them, and that of the next line. */
    private final int[][] byLine;

    /** For every column: its place between two lines, what it lies between, and its colour. */
    private final int[][] byColumn;

    /**
     * Makes a band.
     *
     * @param height rows of pixels that are painted together
     */
    EchoBand(EchoPicture echo, AxisMap rows, ColumnMap columns, int lines, int height) {
        this.echo = echo;
        this.rows = rows;
        this.columns = columns;
        this.lines = lines;
        band = new int[rows.mostOf(height) * lines];
        byLine = AlignedRows.ofIntegers(4, lines);
        byColumn = AlignedRows.ofIntegers(3, columns.width);
        columns.places(PLACE, byColumn[0]);
    }

    /** Fetches what some rows of pixels show. */
    void begin(int from, int to) {
        firstRow = rows.first(from, to);
        int count = rows.count(from, to);
        for (int i = 0; i < lines; i++) {
            echo.greys(i, firstRow, count, band, i, lines);
        }
    }

    /**
     * Paints a row of pixels that lies within the scan.
     *
     * @return its colours, all its columns; to be read only, and painted anew by the next call
     */
    int[] paint(int y) {
        int[] above = byLine[0];
        int[] below = byLine[1];
        int[] value = byLine[2];
        int[] pairs = byColumn[1];
        int at = (rows.at[y] - firstRow) * lines;
        System.arraycopy(band, at, above, 0, lines);
        System.arraycopy(band, at + rows.step * lines, below, 0, lines);
        RowLoops.between(above, below, PLACE, rows.along[y], value, lines);
        RowLoops.pairUp(value, byLine[3], lines);
        RowLoops.pick(value, columns.line, pairs, columns.width);
        greys(pairs, byColumn[0], byColumn[2], columns.width);
        return byColumn[2];
    }

    /** The colour of what lies between the two of each pair, neither being negative. */
    private static void greys(int[] pair, int[] place, int[] colour, int n) {
        for (int x = 0; x < n; x++) {
            int p = pair[x];
            int far = (p & 0xffff) - (p >>> 16);
            int grey = (p & 0xffff0000) + far * place[x] >>> 23;
            colour[x] = grey * 0x010101 | 0xff000000;
        }
    }
}
