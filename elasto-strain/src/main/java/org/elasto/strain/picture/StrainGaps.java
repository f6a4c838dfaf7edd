package org.elasto.strain.picture;

import org.elasto.strain.shared.AlignedRows;

/**
 * Paints what lies beside untrusted places of a linear array anew: where nothing is trusted, the
 * echo under a hatch, and elsewhere trusted places alone by their weights. One thread at a time.
 */
final class StrainGaps {

    private final AxisMap rows;
    private final ColumnMap columns;
    private final int lines;
    private final int gridRows;
    private final int unit;

    /** For each column of a row whether it is a line of the hatch: all bits, or none. */
    private final int[] hatch;

    // Of the row of strain last sought: lines that some places behind are trusted and some not,
    // and runs of lines that none are behind.
    private final int[] mixed;
    private final int[] blindFrom;
    private final int[] blindTo;
    private int mixedCount;
    private int blindCount;
    private int soughtRow;

    private final int[] known;

    /** For every column of a row whether it is a line of the hatch, and its colour. */
    private final int[][] hatched;

    /**
     * Makes it.
     *
     * @param gridRows rows of strain in all
     * @param unit thickness of the hatch's lines in pixels
     */
    StrainGaps(AxisMap rows, ColumnMap columns, int lines, int gridRows, int unit) {
        this.rows = rows;
        this.columns = columns;
        this.lines = lines;
        this.gridRows = gridRows;
        this.unit = unit;
        hatch = Hatch.row(columns.width + Hatch.period(unit), unit);
        mixed = new int[lines];
        blindFrom = new int[lines];
        blindTo = new int[lines];
        known = new int[lines];
        hatched = AlignedRows.ofIntegers(2, columns.width);
    }

    /** Forgets what it has sought, as strain is another. */
    void begin() {
        soughtRow = -1;
    }

    /**
     * Paints a row of pixels beyond the grid.
     *
     * @return its colours, all its columns, in memory of the gaps'
     */
    int[] paintBlind(int y, int[] echo) {
        hatch(y, echo);
        return hatched[1];
    }

    /** Paints a row of pixels that a band of strain has painted and that is not whole. */
    void paint(int y, StrainBand band, PanelPainter painter, int[] echo, int[] colours) {
        if (rows.at[y] != soughtRow) {
            seek(y, band);
        }
        hatch(y, echo);
        for (int i = 0; i < blindCount; i++) {
            show(columns.firstOf(blindFrom[i]), columns.firstOf(blindTo[i]), colours);
        }
        for (int i = 0; i < mixedCount; i++) {
            show(columns.firstOf(mixed[i]), columns.firstOf(mixed[i] + 1), colours);
            paintCell(y, mixed[i], painter, colours);
        }
    }

    private void hatch(int y, int[] echo) {
        System.arraycopy(hatch, y % Hatch.period(unit), hatched[0], 0, columns.width);
        Hatch.colours(echo, hatched[0], hatched[1], columns.width);
    }

    private void show(int from, int to, int[] colours) {
        System.arraycopy(hatched[1], from, colours, from, to - from);
    }

    private void seek(int y, StrainBand band) {
        soughtRow = rows.at[y];
        mixedCount = 0;
        blindCount = 0;
        band.countKnown(y, known);
        for (int i = 0; i < lines; i++) {
            if (known[i] == 0) {
                if (blindCount == 0 || blindTo[blindCount - 1] < i) {
                    blindFrom[blindCount++] = i;
                }
                blindTo[blindCount - 1] = i + 1;
            } else if (known[i] < 4) {
                mixed[mixedCount++] = i;
            }
        }
    }

    /** Between two lines: trusted places alone by their weights. */
    private void paintCell(int y, int line, PanelPainter painter, int[] colours) {
        float b = rows.along[y];
        int down = rows.step;
        int at = line * gridRows + rows.at[y];
        int next = line + 1 < lines ? at + gridRows : at;
        float w0 = painter.isTrusted(at) ? 1 - b : 0;
        float w1 = painter.isTrusted(at + down) ? b : 0;
        float w2 = painter.isTrusted(next) ? 1 - b : 0;
        float w3 = painter.isTrusted(next + down) ? b : 0;
        float[] plane = painter.plane;
        float sum = product(w0, plane[at]) + product(w1, plane[at + down]);
        float sumNext = product(w2, plane[next]) + product(w3, plane[next + down]);
        boolean near = painter.isTrusted(b >= 0.5f ? at + down : at);
        boolean nearNext = painter.isTrusted(b >= 0.5f ? next + down : next);
        for (int x = columns.firstOf(line); x < columns.firstOf(line + 1); x++) {
            float a = columns.along[x];
            if (a >= 0.5f ? nearNext : near) {
                float weight = w0 + w1 + a * (w2 + w3 - (w0 + w1));
                colours[x] = painter.colour(Math.abs((sum + a * (sumNext - sum)) / weight));
            }
        }
    }

    private static float product(float weight, float value) {
        return weight > 0 ? weight * value : 0;
    }
}
