package org.elasto.strain.picture;

import java.util.Arrays;
import org.elasto.strain.shared.AlignedRows;

/**
 * Paints rows of the strain panel of a linear array as if all strain were trusted: interpolates
 * first between lines, once for each row of strain, and then between rows. Tells which rows are
 * trusted all along. One thread at a time.
 */
final class StrainBand {

    /** Bits below a step of the palette: in pairs, and when interpolated between lines. */
    private static final int PAIR_STEP = 4;

    private static final int STEP = 6;

    /** Bits of a place between two rows or lines. */
    private static final int PLACE = 10;

    /**
     * Strain is cut off at eight times the bright end, so that a pair of places fits into one
     * integer: the edge of what is brighter still moves by less than an eighth of a line.
     */
    private static final float MOST = (1 << 15) - 1;

    /** Added to a number of up to 22 bits, it leaves it, rounded, in the lowest bits. */
    private static final float WHOLE = 3 << 22;

    private static final int WHOLE_BITS = Float.floatToRawIntBits(WHOLE);

    private static final int ACROSS = 3;

    private final AxisMap rows;
    private final ColumnMap columns;
    private final int[] palette;
    private final boolean isGrey;
    private final int lines;
    private final int gridRows;

    /** Steps of the palette, row after row; 0 where strain is not trusted. */
    private final int[] band;

    /** 1 where it is trusted, 0 elsewhere. */
    private final int[] known;

    private final boolean[] whole;
    private int firstRow;

    /** For every line: a row, and that of the next line. */
    private final int[][] byLine;

    /**
     * For every column: its place between two lines, what it lies between, its colour, and from
     * {@link #ACROSS} on the rows of the band interpolated between lines.
     */
    private final int[][] byColumn;

    /**
     * Makes a band.
     *
     * @param gridRows rows of strain in all
     * @param height rows of pixels that are painted together
     */
    StrainBand(
            AxisMap rows,
            ColumnMap columns,
            ColourScale scale,
            int lines,
            int gridRows,
            int height) {
        this.rows = rows;
        this.columns = columns;
        this.lines = lines;
        this.gridRows = gridRows;
        palette = scale.palette();
        isGrey = Arrays.equals(palette, ColourScale.grey().palette());
        int most = rows.mostOf(height);
        band = new int[most * lines];
        known = new int[most * lines];
        whole = new boolean[most];
        byLine = AlignedRows.ofIntegers(2, lines);
        byColumn = AlignedRows.ofIntegers(ACROSS + most, columns.width);
        columns.places(PLACE, byColumn[0]);
    }

    /**
     * Turns strain into steps of the palette, to 1/16, as vector code: whole numbers by their bits,
     * as HotSpot 17 makes none of a conversion.
     *
     * @param plane strain
     * @param gain steps of the palette for each unit of it
     * @param steps receives them, NaN where it is unknown
     * @param n places
     */
    static void steps(float[] plane, float gain, float[] steps, int n) {
        float scale = gain * (1 << PAIR_STEP);
        for (int i = 0; i < n; i++) {
            steps[i] = Math.max(-MOST, Math.min(MOST, plane[i] * scale)) + WHOLE;
        }
    }

    /**
     * Fetches what some rows of pixels show.
     *
     * @param steps what {@link #steps} has made of strain
     */
    void begin(int from, int to, float[] steps, boolean[] trusted) {
        firstRow = rows.first(from, to);
        int count = rows.count(from, to);
        for (int k = 0; k < count; k++) {
            whole[k] = turn(steps, trusted, firstRow + k, k * lines) == lines;
            System.arraycopy(band, k * lines, byLine[0], 0, lines);
            RowLoops.pairUp(byLine[0], byLine[1], lines);
            RowLoops.pick(byLine[0], columns.line, byColumn[1], columns.width);
            acrossLines(byColumn[1], byColumn[0], byColumn[ACROSS + k], columns.width);
        }
    }

    /** Turns a row of the plane over and tells how many places are trusted. */
    private int turn(float[] steps, boolean[] trusted, int at, int to) {
        int count = 0;
        for (int i = 0; i < lines; i++) {
            float step = steps[at + i * gridRows];
            int isKnown = trusted[at + i * gridRows] & step == step ? 1 : 0;
            band[to + i] = (Float.floatToRawIntBits(step) - WHOLE_BITS) * isKnown;
            known[to + i] = isKnown;
            count += isKnown;
        }
        return count;
    }

    private static void acrossLines(int[] pair, int[] place, int[] step, int n) {
        for (int x = 0; x < n; x++) {
            int here = pair[x] >> 16;
            int far = (pair[x] << 16 >> 16) - here;
            step[x] = (here << PLACE) + far * place[x] >> PLACE + PAIR_STEP - STEP;
        }
    }

    /**
     * Paints a row of pixels that lies within the grid.
     *
     * @return its colours, all its columns, in memory of the band's
     */
    int[] paint(int y) {
        int[] above = byColumn[ACROSS + rows.at[y] - firstRow];
        int[] below = byColumn[ACROSS + rows.at[y] - firstRow + rows.step];
        int[] colours = byColumn[2];
        int place = Math.round(rows.along[y] * (1 << PLACE));
        greys(above, below, place, colours, columns.width);
        if (!isGrey) {
            recolour(colours, palette, columns.width);
        }
        return colours;
    }

    /** Between two rows, without sign: steps of the palette as greys, white for all above. */
    private static void greys(int[] above, int[] below, int place, int[] colour, int n) {
        int last = 255 << STEP + PLACE;
        int most = last + (1 << STEP + PLACE - 1);
        for (int x = 0; x < n; x++) {
            int value = (above[x] << PLACE) + (below[x] - above[x]) * place;
            int sign = value >> 31;
            int beyond = (value ^ sign) - sign - last;
            int step = (beyond & beyond >> 31) + most >>> STEP + PLACE;
            colour[x] = step * 0x010101 | 0xff000000;
        }
    }

    private static void recolour(int[] colour, int[] palette, int n) {
        for (int x = 0; x < n; x++) {
            colour[x] = palette[colour[x] & 255];
        }
    }

    /** Whether all is trusted that a row of pixels lies between. */
    boolean isWhole(int y) {
        int at = rows.at[y] - firstRow;
        return whole[at] && whole[at + rows.step];
    }

    /**
     * How many places are trusted of those that a row of pixels lies between.
     *
     * @param counts receives for each line how many of 4, itself and the next one counted
     */
    void countKnown(int y, int[] counts) {
        int at = (rows.at[y] - firstRow) * lines;
        int[] other = byLine[1];
        System.arraycopy(known, at, counts, 0, lines);
        System.arraycopy(known, at + rows.step * lines, other, 0, lines);
        RowLoops.add(counts, other, lines);
        RowLoops.toNext(counts, other, lines);
        RowLoops.add(counts, other, lines);
    }
}
