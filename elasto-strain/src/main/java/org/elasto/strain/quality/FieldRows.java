package org.elasto.strain.quality;

import org.elasto.api.RowGrid;

/**
 * Reads planes of a displacement field at the rows of a strain image: linear along depth, and
 * unknown beyond half a row outside the field. Immutable and thread-safe.
 */
final class FieldRows {

    /** Lines to work on at once: one is too short for vector loops to get going. */
    static final int BLOCK = 8;

    private final int rows;

    /** For each row of the strain image the row of the field above it, or -1 if there is none. */
    private final int[] above;

    private final float[] below;

    /** Whether the rows of both are the same. */
    private final boolean same;

    /** What rows without a counterpart in the field are given. */
    private final float missing;

    FieldRows(RowGrid field, RowGrid strain, float missing) {
        this.missing = missing;
        rows = field.rows();
        above = new int[strain.rows()];
        below = new float[above.length];
        for (int r = 0; r < above.length; r++) {
            double row = field.rowAt(strain.depth(r));
            if (row >= -0.5 && row <= rows - 0.5) {
                double inside = Math.min(Math.max(row, 0), rows - 1.0);
                above[r] = (int) inside;
                below[r] = (float) (inside - above[r]);
            } else {
                above[r] = -1;
            }
        }
        same = field.equals(strain);
    }

    /**
     * Reads the correlation of the match along lines.
     *
     * @param plane correlation of the field
     * @param line the first line
     * @param count number of lines
     * @param into receives the correlation at each row of the strain image, 0 to 1
     */
    void correlation(float[] plane, int line, int count, float[] into) {
        if (same) {
            System.arraycopy(plane, line * rows, into, 0, count * rows);
        } else {
            for (int k = 0; k < count; k++) {
                interpolate(plane, (line + k) * rows, into, k * above.length);
            }
        }
        clamp(into, count * above.length);
    }

    private void interpolate(float[] plane, int from, float[] into, int to) {
        for (int r = 0; r < above.length; r++) {
            int i = from + above[r];
            float share = below[r];
            if (above[r] < 0) {
                into[to + r] = missing;
            } else {
                float here = plane[i];
                into[to + r] = share == 0 ? here : here + share * (plane[i + 1] - here);
            }
        }
    }

    private static void clamp(float[] x, int n) {
        for (int i = 0; i < n; i++) {
            x[i] = Math.min(1f, Math.max(0f, x[i]));
        }
    }
}
