package org.elasto.tracking.shared;

/**
 * From one value for each cell of a coarse division of the frame to one for each sample. Stateless
 * and thread-safe.
 */
final class CellInterpolation {

    private CellInterpolation() {}

    /**
     * Bilinear between the centres of the cells, constant beyond the outermost.
     *
     * @param cells the values, {@code group * blocks + block}
     * @param groups groups of lines
     * @param blocks blocks of depth
     * @param groupLines lines of a group
     * @param blockLength samples of a block
     * @param centre distance of the place that the value of a block stands for from the block's
     *     beginning, in blocks
     * @param plane receives the values, {@code line * length + sample}
     * @param lines number of lines
     * @param length samples a line
     */
    static void bilinear(
            float[] cells,
            int groups,
            int blocks,
            int groupLines,
            int blockLength,
            double centre,
            float[] plane,
            int lines,
            int length) {
        for (int line = 0; line < lines; line++) {
            double g = clamp((line + 0.5) / groupLines - 0.5, groups - 1);
            int g0 = (int) g;
            int g1 = Math.min(g0 + 1, groups - 1);
            float gShare = (float) (g - g0);
            for (int n = 0; n < length; n++) {
                double b = clamp((double) n / blockLength - centre, blocks - 1);
                int b0 = (int) b;
                int b1 = Math.min(b0 + 1, blocks - 1);
                float bShare = (float) (b - b0);
                float near = mix(cells[g0 * blocks + b0], cells[g0 * blocks + b1], bShare);
                float far = mix(cells[g1 * blocks + b0], cells[g1 * blocks + b1], bShare);
                plane[line * length + n] = mix(near, far, gShare);
            }
        }
    }

    private static double clamp(double value, int max) {
        return Math.max(0, Math.min(max, value));
    }

    private static float mix(float a, float b, float share) {
        return a + share * (b - a);
    }
}
