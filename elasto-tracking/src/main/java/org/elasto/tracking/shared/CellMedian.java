package org.elasto.tracking.shared;

/**
 * Takes single cells that differ from all around them out of a coarse displacement: a wrong lag, or
 * a phase that was taken for its neighbour a whole turn away. One thread at a time; a call
 * allocates nothing.
 */
public final class CellMedian {

    private final float[] around = new float[9];

    /** Makes a filter. */
    public CellMedian() {}

    /**
     * Replaces a cell that differs by more than a limit from the median of the up to nine cells
     * around and in it by that median.
     *
     * @param cells the cells, {@code column * rows + row}
     * @param columns cells side by side
     * @param rows cells in depth
     * @param limit greatest difference that stays
     * @param out receives the cells; another array than the first
     */
    public void filter(float[] cells, int columns, int rows, float limit, float[] out) {
        for (int c = 0; c < columns; c++) {
            filterColumn(cells, columns, rows, c, limit, out);
        }
    }

    /**
     * The same for one column.
     *
     * @param cells the cells, {@code column * rows + row}
     * @param columns cells side by side
     * @param rows cells in depth
     * @param c the column
     * @param limit greatest difference that stays
     * @param out receives the cells of the column; another array than the first
     */
    public void filterColumn(
            float[] cells, int columns, int rows, int c, float limit, float[] out) {
        for (int r = 0; r < rows; r++) {
            float value = cells[c * rows + r];
            if (isAmongFriends(cells, columns, rows, c, r, limit)) {
                out[c * rows + r] = value;
                continue;
            }
            float median = medianAround(cells, columns, rows, c, r);
            out[c * rows + r] = Math.abs(value - median) > limit ? median : value;
        }
    }

    /** Whether more than half of the cells lie within the limit: then the median does, too. */
    private static boolean isAmongFriends(
            float[] cells, int columns, int rows, int c, int r, float limit) {
        float value = cells[c * rows + r];
        int near = 0;
        int all = 0;
        for (int i = Math.max(0, c - 1); i <= Math.min(columns - 1, c + 1); i++) {
            for (int j = Math.max(0, r - 1); j <= Math.min(rows - 1, r + 1); j++) {
                near += Math.abs(cells[i * rows + j] - value) <= limit ? 1 : 0;
                all++;
            }
        }
        return 2 * near > all + 1;
    }

    private float medianAround(float[] cells, int columns, int rows, int c, int r) {
        int n = 0;
        for (int i = Math.max(0, c - 1); i <= Math.min(columns - 1, c + 1); i++) {
            for (int j = Math.max(0, r - 1); j <= Math.min(rows - 1, r + 1); j++) {
                float value = cells[i * rows + j];
                int at = n++;
                for (; at > 0 && around[at - 1] > value; at--) {
                    around[at] = around[at - 1];
                }
                around[at] = value;
            }
        }
        return around[n / 2];
    }
}
