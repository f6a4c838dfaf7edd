package org.elasto.tracking.shared;

/**
 * A coarse grid of cells over a baseband frame, and the way from values in its cells to values in
 * every sample. Immutable and thread-safe.
 *
 * @param columns cells side by side
 * @param rows cells in depth
 * @param firstLine line at the middle of the first column, fractions allowed
 * @param lineStep lines from column to column
 * @param firstSample baseband sample at the middle of the first row, fractions allowed
 * @param sampleStep baseband samples from row to row
 */
public record CellGrid(
        int columns, int rows, double firstLine, int lineStep, double firstSample, int sampleStep) {

    /**
     * Number of cells.
     *
     * @return columns times rows
     */
    public int cells() {
        return columns * rows;
    }

    /**
     * Interpolates a line of two planes of cells: bilinear between the middles of the cells,
     * constant beyond the outermost. Where the cells around a place differ too much in either plane
     * the place takes the nearest cell's values, so that a slip stays a slip.
     *
     * @param line the line
     * @param u one plane, {@code column * rows + row}
     * @param v another plane; null for none
     * @param uStep greatest difference within the first plane that is interpolated; infinite for
     *     any
     * @param vStep greatest difference within the second plane
     * @param length samples a line
     * @param outU receives the line of the first plane at {@code line * length + n}
     * @param outV receives the line of the second plane; null for none
     */
    public void interpolate(
            int line,
            float[] u,
            float[] v,
            float uStep,
            float vStep,
            int length,
            float[] outU,
            float[] outV) {
        double c = Math.max(0, Math.min(columns - 1, (line - firstLine) / lineStep));
        int c0 = (int) c;
        int near = c0 * rows;
        int far = Math.min(c0 + 1, columns - 1) * rows;
        float cShare = (float) (c - c0);
        for (int n = 0; n < length; n++) {
            double r = Math.max(0, Math.min(rows - 1, (n - firstSample) / sampleStep));
            int r0 = (int) r;
            int r1 = Math.min(r0 + 1, rows - 1);
            float rShare = (float) (r - r0);
            int to = line * length + n;
            if (spread(u, near, far, r0, r1) <= uStep
                    && (v == null || spread(v, near, far, r0, r1) <= vStep)) {
                outU[to] = mix(u, near, far, r0, r1, cShare, rShare);
                if (v != null) {
                    outV[to] = mix(v, near, far, r0, r1, cShare, rShare);
                }
            } else {
                int nearest = (cShare < 0.5f ? near : far) + (rShare < 0.5f ? r0 : r1);
                outU[to] = u[nearest];
                if (v != null) {
                    outV[to] = v[nearest];
                }
            }
        }
    }

    private static float spread(float[] x, int near, int far, int r0, int r1) {
        float a = x[near + r0];
        float b = x[near + r1];
        float c = x[far + r0];
        float d = x[far + r1];
        return Math.max(Math.max(a, b), Math.max(c, d)) - Math.min(Math.min(a, b), Math.min(c, d));
    }

    private static float mix(
            float[] x, int near, int far, int r0, int r1, float cShare, float rShare) {
        float a = x[near + r0] + rShare * (x[near + r1] - x[near + r0]);
        float b = x[far + r0] + rShare * (x[far + r1] - x[far + r0]);
        return a + cShare * (b - a);
    }
}
