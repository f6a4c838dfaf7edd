package org.elasto.strain.picture;

import java.util.Arrays;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * Paints scans of linear arrays, where a row of pixels lies between two rows of a plane all along:
 * interpolates first between these, once for every line, and then between the lines. The same
 * picture as by {@link ScanPainter} but for rounding.
 *
 * <p>It turns a band of the planes into rows of whole numbers first, and reckons with those:
 * HotSpot 17 makes vector instructions of it, and of the colours, but not of a conversion from
 * float for every pixel.
 */
final class LinearPainter extends PanelPainter {

    /** Rows of pixels that are painted together. */
    private static final int BAND = 24;

    /** Bits of a place between two rows or lines where greys are interpolated. */
    private static final int GREY_PLACE = 16;

    /** Bits below a step of the palette, and of a place between two rows or lines, for strain. */
    private static final int STRAIN_STEP = 6;

    private static final int STRAIN_PLACE = 10;

    /**
     * Strain is cut off at so many times the bright end before it is interpolated: its integers
     * then hold, and the edge of what is brighter still moves by less than a sixtieth of a line.
     */
    private static final int BRIGHTEST = 64;

    private final int lines;
    private final int width;
    private final AxisMap echoRows;
    private final AxisMap strainRows;
    private final int strainRowCount;
    private final boolean isGrey;
    private final Scratch[] scratch;

    // The columns: the line before each, how far it is to the next one, and where the scan lies.
    private final int[] line;
    private final float[] along;
    private final int[] greyPlace;
    private final int[] strainPlace;
    private final int firstColumn;
    private final int endColumn;

    /** First column behind each line, and the end of the scan. */
    private final int[] columnOf;

    /** What a worker needs. The last line has itself as a neighbour. */
    private static final class Scratch {
        // Rows of a band: for every line, and strain then for every column.
        final int[] greyBand;
        final int[] sizeBand;
        final boolean[] knownBand;
        final boolean[] wholeRow;
        final int[][] sizes;

        // Of two rows of a band: lines that some places behind are not trusted, and none are.
        final int[] mixed;
        final int[] blindFrom;
        final int[] blindTo;
        int mixedCount;
        int blindCount;
        int soughtRow;

        // For every line: two rows of a band, and what lies between them.
        final int[] above;
        final int[] below;
        final int[] value;
        final int[] next;

        // For every column.
        final int[] here;
        final int[] grey;
        final int[] argb;

        Scratch(int lines, int width, int echoRows, int strainRows) {
            greyBand = new int[echoRows * lines];
            sizeBand = new int[strainRows * lines];
            knownBand = new boolean[strainRows * lines];
            wholeRow = new boolean[strainRows];
            sizes = new int[strainRows][width];
            mixed = new int[lines];
            blindFrom = new int[lines];
            blindTo = new int[lines];
            above = new int[lines];
            below = new int[lines];
            value = new int[lines];
            next = new int[lines];
            here = new int[width];
            grey = new int[width];
            argb = new int[width];
        }
    }

    LinearPainter(
            PictureLayout layout,
            EchoPicture echo,
            ColourScale colours,
            ScanGeometry geometry,
            RowGrid grid,
            int workers) {
        super(layout, echo, colours);
        lines = geometry.lines();
        width = layout.echo.width();
        echoRows = AxisMap.ofRows(layout.echo, geometry, echo.grid());
        strainRows = AxisMap.ofRows(layout.strain, geometry, grid);
        strainRowCount = grid.rows();
        isGrey = Arrays.equals(colours.palette(), ColourScale.grey().palette());
        AxisMap columns = AxisMap.ofColumns(layout.echo, geometry);
        line = new int[width];
        along = columns.along;
        greyPlace = new int[width];
        strainPlace = new int[width];
        columnOf = new int[lines + 1];
        int first = 0;
        while (first < width && columns.at[first] < 0) {
            first++;
        }
        int end = first;
        for (; end < width && columns.at[end] >= 0; end++) {
            line[end] = columns.at[end];
            greyPlace[end] = Math.round(along[end] * (1 << GREY_PLACE));
            strainPlace[end] = Math.round(along[end] * (1 << STRAIN_PLACE));
        }
        firstColumn = first;
        endColumn = end;
        for (int i = 0, x = first; i <= lines; i++) {
            while (x < end && line[x] < i) {
                x++;
            }
            columnOf[i] = x;
        }
        scratch = new Scratch[workers];
        int echoBand = mostRows(echoRows);
        int strainBand = mostRows(strainRows);
        Arrays.setAll(scratch, i -> new Scratch(lines, width, echoBand, strainBand));
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
        int echoRow = firstRow(echoRows, from, to);
        for (int i = 0, n = rows(echoRows, from, to); i < lines && n > 0; i++) {
            echo.greys(i, echoRow, n, s.greyBand, i, lines);
        }
        int strainRow = firstRow(strainRows, from, to);
        int strainCount = rows(strainRows, from, to);
        s.soughtRow = -1;
        sizes(strainRow, strainCount, s);
        for (int k = 0; k < strainCount; k++) {
            acrossLines(k, s);
        }
        for (int y = from; y < to; y++) {
            row(y, echoRow, strainRow, s);
        }
    }

    /** The first row of a plane that some rows of pixels show, 0 if they show none. */
    private static int firstRow(AxisMap map, int from, int to) {
        for (int y = from; y < to; y++) {
            if (map.at[y] >= 0) {
                return map.at[y];
            }
        }
        return 0;
    }

    /** How many rows of a plane they show, with the one below. */
    private static int rows(AxisMap map, int from, int to) {
        for (int y = to - 1; y >= from; y--) {
            if (map.at[y] >= 0) {
                return map.at[y] + map.step - firstRow(map, from, to) + 1;
            }
        }
        return 0;
    }

    private static int mostRows(AxisMap map) {
        int most = 0;
        for (int from = 0; from < map.at.length; from += BAND) {
            most = Math.max(most, rows(map, from, Math.min(map.at.length, from + BAND)));
        }
        return most;
    }

    private void row(int y, int echoRow, int strainRow, Scratch s) {
        if (echoRows.at[y] < 0) {
            Arrays.fill(s.argb, Decoration.BLANK);
            show(s.argb, firstPixel(layout.echo, y));
            show(s.argb, firstPixel(layout.strain, y));
            return;
        }
        int at = echoRows.at[y] - echoRow;
        System.arraycopy(s.greyBand, at * lines, s.above, 0, lines);
        System.arraycopy(s.greyBand, (at + echoRows.step) * lines, s.below, 0, lines);
        between(s.above, s.below, GREY_PLACE, echoRows.along[y], s.value, lines);
        next(s.value, s.next);
        pair(s.value, s.next, lines);
        pick(s.value, line, s.here, width);
        greys(s.here, greyPlace, s.grey, width);
        greyColours(s.grey, s.argb, width);
        show(s.argb, firstPixel(layout.echo, y));

        at = strainRows.at[y] - strainRow;
        if (strainRows.at[y] < 0) {
            hatch(s, y, firstColumn, endColumn);
        } else {
            int place = Math.round(strainRows.along[y] * (1 << STRAIN_PLACE));
            sizes(s.sizes[at], s.sizes[at + strainRows.step], place, s.here, width);
            colours(s.here, s.argb);
            if (!(s.wholeRow[at] && s.wholeRow[at + strainRows.step])) {
                mend(s, y, at);
            }
        }
        show(s.argb, firstPixel(layout.strain, y));
    }

    private void show(int[] row, int pixel) {
        Arrays.fill(row, 0, firstColumn, Decoration.BLANK);
        Arrays.fill(row, endColumn, width, Decoration.BLANK);
        System.arraycopy(row, 0, argb, pixel, width);
    }

    /** Turns some rows of strain into steps of the palette; those that are not trusted into 0. */
    private void sizes(int row, int rows, Scratch s) {
        float[] values = plane;
        float scale = paletteGain() * (1 << STRAIN_STEP);
        int most = BRIGHTEST * 255 << STRAIN_STEP;
        Arrays.fill(s.wholeRow, 0, rows, true);
        for (int i = 0; i < lines; i++) {
            int at = i * strainRowCount + row;
            for (int k = 0; k < rows; k++) {
                float size = values[at + k] * scale;
                boolean known = trusted[at + k] & size == size;
                // Not by Math.min of floats, which is slow outside of vectors.
                int whole = (int) size;
                whole = whole > most ? most : Math.max(whole, -most);
                s.sizeBand[k * lines + i] = known ? whole : 0;
                s.knownBand[k * lines + i] = known;
                s.wholeRow[k] &= known;
            }
        }
    }

    /** Interpolates between two rows; numbers of any sign that are a bit shorter than the place. */
    private static void between(
            int[] above, int[] below, int bits, float along, int[] value, int n) {
        int place = Math.round(along * (1 << bits));
        for (int i = 0; i < n; i++) {
            value[i] = (above[i] << bits) + (below[i] - above[i]) * place >> bits;
        }
    }

    /** For every line what stands on the next one. */
    private void next(int[] value, int[] next) {
        System.arraycopy(value, 1, next, 0, lines - 1);
        next[lines - 1] = value[lines - 1];
    }

    private static void pair(int[] value, int[] next, int n) {
        for (int i = 0; i < n; i++) {
            value[i] = value[i] << 16 | next[i];
        }
    }

    private static void subtract(int[] from, int[] value, int n) {
        for (int i = 0; i < n; i++) {
            from[i] -= value[i];
        }
    }

    private static void pick(int[] from, int[] at, int[] to, int n) {
        for (int x = 0; x < n; x++) {
            to[x] = from[at[x]];
        }
    }

    /** Brightness from 0 to 255 between two lines. */
    private static void greys(int[] pair, int[] place, int[] grey, int n) {
        for (int x = 0; x < n; x++) {
            int p = pair[x];
            int far = (p & 0xffff) - (p >>> 16);
            grey[x] = (p & 0xffff0000) + far * place[x] >>> 23;
        }
    }

    private static void greyColours(int[] grey, int[] colour, int n) {
        for (int x = 0; x < n; x++) {
            colour[x] = grey[x] * 0x010101 | 0xff000000;
        }
    }

    /** Interpolates a row of strain between the lines, as if all were trusted. */
    private void acrossLines(int row, Scratch s) {
        System.arraycopy(s.sizeBand, row * lines, s.value, 0, lines);
        next(s.value, s.next);
        subtract(s.next, s.value, lines);
        pick(s.value, line, s.sizes[row], width);
        pick(s.next, line, s.here, width);
        addPart(s.sizes[row], s.here, strainPlace, width);
    }

    private static void addPart(int[] value, int[] change, int[] place, int n) {
        for (int x = 0; x < n; x++) {
            value[x] += change[x] * place[x] >> STRAIN_PLACE;
        }
    }

    /** The size, without sign, between two rows, finer by the bits of the place. */
    private static void sizes(int[] above, int[] below, int place, int[] size, int n) {
        for (int x = 0; x < n; x++) {
            int value = (above[x] << STRAIN_PLACE) + (below[x] - above[x]) * place;
            int sign = value >> 31;
            size[x] = (value ^ sign) - sign;
        }
    }

    /** Colours of sizes: steps of the palette, rounded, and the last one for all above. */
    private void colours(int[] size, int[] colour) {
        steps(size, width);
        if (isGrey) {
            greyColours(size, colour, width);
        } else {
            pick(palette(), size, colour, width);
        }
    }

    private static void steps(int[] size, int n) {
        int last = 255 << STRAIN_STEP + STRAIN_PLACE;
        int most = last + (1 << STRAIN_STEP + STRAIN_PLACE - 1);
        for (int x = 0; x < n; x++) {
            int above = size[x] - last;
            size[x] = (above & above >> 31) + most >>> STRAIN_STEP + STRAIN_PLACE;
        }
    }

    /** Paints anew what lies beside untrusted places. */
    private void mend(Scratch s, int y, int row) {
        if (row != s.soughtRow) {
            seek(s, row);
        }
        for (int i = 0; i < s.mixedCount; i++) {
            mendCell(s, y, s.mixed[i]);
        }
        for (int i = 0; i < s.blindCount; i++) {
            hatch(s, y, columnOf[s.blindFrom[i]], columnOf[s.blindTo[i]]);
        }
    }

    /** Finds the lines that not all is trusted behind, and the runs of those where nothing is. */
    private void seek(Scratch s, int row) {
        boolean[] known = s.knownBand;
        int down = strainRows.step * lines;
        int at = row * lines;
        boolean here = known[at];
        boolean below = known[at + down];
        s.soughtRow = row;
        s.mixedCount = 0;
        s.blindCount = 0;
        for (int i = 0; i < lines; i++) {
            at += i + 1 < lines ? 1 : 0;
            boolean next = known[at];
            boolean nextBelow = known[at + down];
            if (!(here | below | next | nextBelow)) {
                if (s.blindCount == 0 || s.blindTo[s.blindCount - 1] < i) {
                    s.blindFrom[s.blindCount++] = i;
                }
                s.blindTo[s.blindCount - 1] = i + 1;
            } else if (!(here & below & next & nextBelow)) {
                s.mixed[s.mixedCount++] = i;
            }
            here = next;
            below = nextBelow;
        }
    }

    /** Between two lines: trusted places alone by their weights. */
    private void mendCell(Scratch s, int y, int i) {
        float b = strainRows.along[y];
        int down = strainRows.step;
        int at = i * strainRowCount + strainRows.at[y];
        int next = i + 1 < lines ? at + strainRowCount : at;
        float w0 = weight(at, 1 - b);
        float w1 = weight(at + down, b);
        float w2 = weight(next, 1 - b);
        float w3 = weight(next + down, b);
        float sum = product(w0, at) + product(w1, at + down);
        float sumNext = product(w2, next) + product(w3, next + down);
        boolean near = isTrusted(b >= 0.5f ? at + down : at);
        boolean nearNext = isTrusted(b >= 0.5f ? next + down : next);
        int from = columnOf[i];
        int to = columnOf[i + 1];
        hatch(s, y, from, to);
        for (int x = from; x < to; x++) {
            float a = along[x];
            if (a >= 0.5f ? nearNext : near) {
                float weight = w0 + w1 + a * (w2 + w3 - (w0 + w1));
                s.argb[x] = colour(Math.abs((sum + a * (sumNext - sum)) / weight));
            }
        }
    }

    private float weight(int place, float weight) {
        return isTrusted(place) ? weight : 0;
    }

    private float product(float weight, int place) {
        return weight > 0 ? weight * plane[place] : 0;
    }

    private void hatch(Scratch s, int y, int from, int to) {
        int[] dimmed = Hatch.dimmed();
        int hatch = (from + y) % hatchPeriod;
        for (int x = from; x < to; x++) {
            s.argb[x] = hatch < layout.unit ? Hatch.LINE : dimmed[s.grey[x]];
            hatch = hatch + 1 == hatchPeriod ? 0 : hatch + 1;
        }
    }
}
