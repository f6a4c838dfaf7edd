package org.elasto.strain.picture;

import java.util.Arrays;
import org.elasto.api.signal.AlignedRows;

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
    private static final int MOST = (1 << 15) - 1;

    private final AxisMap rows;
    private final ColumnMap columns;
    private final int[] places;
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

    // For every line.
    private final int[] value;
    private final int[] next;

    // For every column.
    private final int[] pairs;
    private final int[][] across;
    private final int[] steps;
    private final int[] colours;

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
        int[][] byLine = AlignedRows.ofIntegers(2, lines);
        value = byLine[0];
        next = byLine[1];
        across = AlignedRows.ofIntegers(most, columns.width);
        int[][] byColumn = AlignedRows.ofIntegers(4, columns.width);
        places = byColumn[0];
        pairs = byColumn[1];
        steps = byColumn[2];
        colours = byColumn[3];
        columns.places(PLACE, places);
    }

    /**
     * Fetches what some rows of pixels show.
     *
     * @param gain steps of the palette for each unit of strain
     */
    void begin(int from, int to, float[] plane, boolean[] trusted, float gain) {
        firstRow = rows.first(from, to);
        int count = rows.count(from, to);
        float scale = gain * (1 << PAIR_STEP);
        for (int k = 0; k < count; k++) {
            whole[k] = turn(plane, trusted, firstRow + k, scale, k * lines) == lines;
            System.arraycopy(band, k * lines, value, 0, lines);
            RowLoops.pairUp(value, next, lines);
            RowLoops.pick(value, columns.line, pairs, columns.width);
            acrossLines(pairs, places, across[k], columns.width);
        }
    }

    /** Turns a row of the plane into steps of the palette and tells how many are trusted. */
    private int turn(float[] plane, boolean[] trusted, int at, float scale, int to) {
        int count = 0;
        for (int i = 0; i < lines; i++) {
            float size = plane[at + i * gridRows] * scale;
            int isKnown = trusted[at + i * gridRows] & size == size ? 1 : 0;
            float cut = Math.max(-MOST, Math.min(MOST, size));
            // Rounded: what is cut off is positive.
            band[to + i] = ((int) (cut + (MOST + 0.5f)) - MOST) * isKnown;
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
        int at = rows.at[y] - firstRow;
        int place = Math.round(rows.along[y] * (1 << PLACE));
        steps(across[at], across[at + rows.step], place, steps, columns.width);
        if (isGrey) {
            RowLoops.greyColours(steps, colours, columns.width);
        } else {
            RowLoops.pick(palette, steps, colours, columns.width);
        }
        return colours;
    }

    /** Between two rows, without sign: steps of the palette, the last one for all above. */
    private static void steps(int[] above, int[] below, int place, int[] step, int n) {
        int last = 255 << STEP + PLACE;
        int most = last + (1 << STEP + PLACE - 1);
        for (int x = 0; x < n; x++) {
            int value = (above[x] << PLACE) + (below[x] - above[x]) * place;
            int sign = value >> 31;
            int beyond = (value ^ sign) - sign - last;
            step[x] = (beyond & beyond >> 31) + most >>> STEP + PLACE;
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
        System.arraycopy(known, at, counts, 0, lines);
        System.arraycopy(known, at + rows.step * lines, next, 0, lines);
        RowLoops.add(counts, next, lines);
        RowLoops.toNext(counts, next, lines);
        RowLoops.add(counts, next, lines);
    }
}
