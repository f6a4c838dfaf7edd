package org.elasto.strain.quality;

import org.elasto.api.RowGrid;

/**
 * Reads planes of a displacement field at the rows of a strain image: linear along depth, and
 * unknown beyond half a row outside the field. Immutable and thread-safe.
 */
final class FieldRows {

    private final int rows;

    /** For each row of the strain image the row of the field above it, or -1 if there is none. */
    private final int[] above;

    private final float[] below;

    FieldRows(RowGrid field, RowGrid strain) {
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
    }

    /** Whether a row of the strain image has a counterpart in the field. */
    boolean has(int row) {
        return above[row] >= 0;
    }

    /** Correlation of the match at a row of the strain image that has a counterpart. */
    float correlation(float[] plane, int line, int row) {
        int i = line * rows + above[row];
        float share = below[row];
        float value = share == 0 ? plane[i] : plane[i] + share * (plane[i + 1] - plane[i]);
        return Math.min(1f, Math.max(0f, value));
    }
}
