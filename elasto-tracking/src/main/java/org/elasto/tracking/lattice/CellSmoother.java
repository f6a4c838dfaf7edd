package org.elasto.tracking.lattice;

/** Smooths the cells of a lattice, but not across a jump. Stateless and thread-safe. */
final class CellSmoother {

    private CellSmoother() {}

    /**
     * Mean of the cells around each of a column, weights falling in straight lines, those left out
     * that differ by more than a limit.
     *
     * @param cells the cells, {@code column * rows + row}
     * @param columns cells side by side
     * @param rows cells in depth
     * @param c the column
     * @param limit greatest difference
     * @param reach cells to either side
     * @param out receives the means of the column; another array
     */
    static void smooth(
            float[] cells, int columns, int rows, int c, float limit, int reach, float[] out) {
        for (int r = 0; r < rows; r++) {
            float value = cells[c * rows + r];
            float sum = 0;
            // The cell's own, which is off itself by nothing.
            float weights = (reach + 1) * (reach + 1);
            // As many rows above as below, and columns likewise: a mean of another place else.
            int across = Math.min(reach, Math.min(c, columns - 1 - c));
            int along = Math.min(reach, Math.min(r, rows - 1 - r));
            int at = c * rows + r;
            for (int i = 0; i <= across; i++) {
                for (int j = i == 0 ? 1 : -along; j <= along; j++) {
                    float there = cells[at + i * rows + j] - value;
                    float mirrored = cells[at - i * rows - j] - value;
                    if (Math.abs(there) <= limit && Math.abs(mirrored) <= limit) {
                        float w = (reach + 1 - i) * (reach + 1 - Math.abs(j));
                        sum += w * (there + mirrored);
                        weights += 2 * w;
                    }
                }
            }
            out[at] = value + sum / weights;
        }
    }
}
