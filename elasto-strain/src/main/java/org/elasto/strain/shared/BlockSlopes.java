package org.elasto.strain.shared;

import java.util.Arrays;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * Slopes of weighted least-squares lines through the windows around all rows of a block of lines,
 * along the lines or across them.
 *
 * <p>The scan lines of a convex probe spread with depth, so that a window of given width has fewer
 * lines further down.
 *
 * <p>Workspace of one worker; a call allocates nothing.
 */
public final class BlockSlopes {

    /** From one place of a window to the next. */
    private final int step;

    /** Places to either side for each row; never grows with depth. */
    private final int[] half;

    /** Rows that have a place so far away in their windows, by the distance. */
    private final int[] reach;

    private final double[] spacing;
    private final BlockSums sums;
    private final float[] perMetre;

    private BlockSlopes(int step, int[] half, double[] spacing, double usableShare, int stride) {
        this.step = step;
        this.half = half;
        this.spacing = spacing;
        reach = new int[half[0] + 1];
        sums = new BlockSums(BlockLine.LINES * stride);
        perMetre = new float[sums.size];
        for (int r = 0; r < half.length; r++) {
            for (int k = 0; k <= half[r]; k++) {
                reach[k]++;
            }
            for (int i = r; i < sums.size; i += stride) {
                sums.expect(i, half[r], RowWindow.needed(2 * half[r] + 1, usableShare));
                perMetre[i] = (float) (1 / spacing[r]);
            }
        }
    }

    /** Slopes along the lines. */
    static BlockSlopes along(RowWindow window, int rows, int stride) {
        int[] half = new int[rows];
        double[] spacing = new double[rows];
        Arrays.fill(half, window.half());
        Arrays.fill(spacing, window.spacing());
        return new BlockSlopes(1, half, spacing, window.usableShare(), stride);
    }

    /** Slopes across the lines, in windows of a width (m). */
    static BlockSlopes across(
            double width, double usableShare, ScanGeometry geometry, RowGrid grid, int stride) {
        int[] half = new int[grid.rows()];
        double[] spacing = new double[half.length];
        for (int r = 0; r < half.length; r++) {
            spacing[r] = geometry.lineSpacing(grid.depth(r));
            half[r] = Math.max(1, halfWidth(width, spacing[r], geometry.lines()));
        }
        return new BlockSlopes(stride, half, spacing, usableShare, stride);
    }

    /**
     * Lines to either side that make up a width, as far as there can be lines.
     *
     * @param width width of a window (m)
     * @param spacing distance between lines (m)
     * @param lines lines of the scan
     * @return lines to either side
     */
    public static int halfWidth(double width, double spacing, int lines) {
        return (int) Math.min(lines, Math.round(width / (2 * spacing)));
    }

    /**
     * Fits all windows of a block of lines.
     *
     * @param lines weights and displacements, with room around for the windows and for the lines of
     *     a block
     * @param line number of the first line
     * @return the slope of each place of the block (1/m), NaN where unknown; used again
     */
    float[] fit(PaddedLines lines, int line) {
        sums.fit(lines, line, step, half[0], reach);
        float[] sound = sums.check();
        float[] slope = sums.slope;
        BlockSums.multiply(slope, perMetre, sums.size);
        for (int from = 0; from < sums.size; from += lines.stride) {
            for (int r = 0; r < lines.rows; r++) {
                if (!(sound[from + r] >= 0)) {
                    slope[from + r] = fitOne(lines, line, from + r, r);
                }
            }
        }
        return slope;
    }

    private float fitOne(PaddedLines lines, int line, int place, int row) {
        return sums.knowsEnough(place)
                ? (float) (sums.refit(lines, line, place, step, half[row]) / spacing[row])
                : Float.NaN;
    }
}
