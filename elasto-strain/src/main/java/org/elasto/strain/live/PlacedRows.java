package org.elasto.strain.live;

import java.util.Arrays;

/**
 * Reads lines at places between their rows: linear between the two rows around a place.
 *
 * <p>Tissue moves by nearly the same from row to row, so that for long stretches the rows around
 * are the same whole number further on. A stretch is copied into place, and all else is done by
 * loops that become vector code, several lines at once since these are short.
 *
 * <p>Workspace of one worker; a call allocates nothing.
 */
final class PlacedRows {

    /** Stands for the offset of places that lie on no line. */
    private static final int NOWHERE = Integer.MIN_VALUE;

    private final int count;
    private final int rows;

    /** Number of each place in its line. */
    private final float[] row;

    private final float[] placeOfLine;
    private final float[] place;

    /** How far from the row above to the one below. */
    private final float[] share;

    // Stretches: the first place, and how much further on the row above lies.
    private final int[] begin;
    private final int[] offset;
    private int stretches;

    /** Places of all lines so far. */
    private int size;

    /** What the lines that were copied last are in the rows around the places. */
    final float[] above;

    final float[] below;

    /**
     * Makes room.
     *
     * @param lines most lines at once
     * @param count number of places of a line
     * @param rows rows of the lines that are read
     */
    PlacedRows(int lines, int count, int rows) {
        this.count = count;
        this.rows = rows;
        int most = lines * count;
        row = new float[most];
        for (int i = 0; i < most; i++) {
            row[i] = i % count;
        }
        placeOfLine = new float[count];
        place = new float[most];
        share = new float[most];
        begin = new int[most + 1];
        offset = new int[most];
        above = new float[most];
        below = new float[most];
    }

    /** Forgets the places. */
    void clear() {
        stretches = 0;
        size = 0;
    }

    /** Sets the places of one more line: a mixture of two sets of them, in rows. */
    void place(float[] here, float[] next, float shareOfNext) {
        mix(placeOfLine, here, next, shareOfNext, count);
        System.arraycopy(placeOfLine, 0, place, size, count);
        int last = rows - 1;
        int from = size;
        int end = size + count;
        // How much further on the line lies where it is read.
        int ahead = size / count * rows - size;
        while (from < end) {
            begin[stretches] = from;
            // Rounds towards 0, which is down for what lies on the line.
            int i = (int) place[from];
            if (place[from] >= 0 && i < last) {
                int by = i - (from - size);
                offset[stretches] = by + ahead;
                from = endOfStretch(from, by, Math.min(end, size + last - by));
            } else {
                offset[stretches] = NOWHERE;
                do {
                    share[from++] = 0;
                } while (from < end && !(place[from] >= 0 && place[from] < last));
            }
            stretches++;
        }
        begin[stretches] = end;
        size = end;
    }

    /** Finds the shares from a place on, as far as the row above is so much further on. */
    private int endOfStretch(int from, int by, int end) {
        subtract(share, place, row, by, from, end);
        float[] share = this.share;
        int i = from;
        while (i < end && share[i] >= 0 && share[i] < 1) {
            i++;
        }
        return i;
    }

    private static void subtract(
            float[] out, float[] place, float[] row, float by, int from, int end) {
        for (int i = from; i < end; i++) {
            out[i] = place[i] - (row[i] + by);
        }
    }

    /**
     * Copies the rows around all places.
     *
     * @param plane the plane in which the lines lie, one after the other
     * @param from where the first of them begins
     * @param nowhere stands for the rows around places beyond the first or the last row
     */
    void copy(float[] plane, int from, float nowhere) {
        for (int k = 0; k < stretches; k++) {
            int first = begin[k];
            int length = begin[k + 1] - first;
            if (offset[k] == NOWHERE) {
                Arrays.fill(above, first, first + length, nowhere);
            } else {
                System.arraycopy(plane, from + first + offset[k], above, first, length);
            }
        }
        System.arraycopy(above, 1, below, 0, size - 1);
        for (int k = 0; k < stretches; k++) {
            int end = begin[k + 1] - 1;
            below[end] = offset[k] == NOWHERE ? nowhere : plane[from + end + offset[k] + 1];
        }
    }

    /** What the lines that were copied last are at the places. */
    void interpolate(float[] out) {
        interpolate(out, above, below, share, size);
    }

    private static void mix(float[] out, float[] here, float[] next, float share, int n) {
        for (int i = 0; i < n; i++) {
            out[i] = here[i] + share * (next[i] - here[i]);
        }
    }

    private static void interpolate(float[] out, float[] a, float[] b, float[] share, int n) {
        for (int i = 0; i < n; i++) {
            out[i] = a[i] + share[i] * (b[i] - a[i]);
        }
    }
}
