package org.elasto.strain.shared;

import java.util.Arrays;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * Fits weighted least-squares lines across the scan lines, row by row.
 *
 * <p>The scan lines of a convex probe spread with depth, so that a window of given width has fewer
 * lines further down.
 *
 * <p>Workspace of one worker; a call allocates nothing.
 */
public final class SlopeAcrossLines {

    private final int lines;
    private final int rows;

    /** Lines to either side for each row; never grows with depth. */
    private final int[] half;

    private final int[] needed;
    private final double[] spacing;
    private final int[] known;
    private final double[] w;
    private final double[] wu;
    private final double[] s0;
    private final double[] s1;
    private final double[] s2;
    private final double[] t0;
    private final double[] t1;

    SlopeAcrossLines(double width, double usableShare, ScanGeometry geometry, RowGrid grid) {
        lines = geometry.lines();
        rows = grid.rows();
        half = new int[rows];
        needed = new int[rows];
        spacing = new double[rows];
        for (int r = 0; r < rows; r++) {
            spacing[r] = geometry.lineSpacing(grid.depth(r));
            half[r] = Math.max(1, halfWidth(width, spacing[r], lines));
            needed[r] = RowWindow.needed(2 * half[r] + 1, usableShare);
        }
        known = new int[rows];
        w = new double[rows];
        wu = new double[rows];
        s0 = new double[rows];
        s1 = new double[rows];
        s2 = new double[rows];
        t0 = new double[rows];
        t1 = new double[rows];
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
     * Fits all rows of a line.
     *
     * @param weighted plane of displacements (m) times their weights, 0 where unknown
     * @param weight plane of weights, 0 where the displacement is unknown
     * @param line the line around which the windows lie
     * @param slope receives the slope of each row, NaN where unknown
     */
    void fit(double[] weighted, double[] weight, int line, float[] slope) {
        Arrays.fill(known, 0);
        Arrays.fill(s0, 0);
        Arrays.fill(s1, 0);
        Arrays.fill(s2, 0);
        Arrays.fill(t0, 0);
        Arrays.fill(t1, 0);
        int first = Math.max(0, line - half[0]);
        int last = Math.min(lines - 1, line + half[0]);
        for (int other = first; other <= last; other++) {
            int k = other - line;
            int end = rows;
            while (end > 0 && half[end - 1] < Math.abs(k)) {
                end--;
            }
            accumulate(weighted, weight, other * rows, k, end);
        }
        for (int r = 0; r < rows; r++) {
            slope[r] = Float.NaN;
            if (known[r] >= needed[r]) {
                double middle = s1[r] / s0[r];
                slope[r] =
                        (float)
                                ((t1[r] - middle * t0[r])
                                        / ((s2[r] - middle * s1[r]) * spacing[r]));
            }
        }
    }

    private void accumulate(double[] weighted, double[] weight, int from, int k, int end) {
        // The compiler works on several rows at once only where all indices run alike.
        System.arraycopy(weight, from, w, 0, end);
        System.arraycopy(weighted, from, wu, 0, end);
        for (int r = 0; r < end; r++) {
            s0[r] += w[r];
            s1[r] += k * w[r];
            s2[r] += k * (k * w[r]);
        }
        for (int r = 0; r < end; r++) {
            t0[r] += wu[r];
            t1[r] += k * wu[r];
        }
        for (int r = 0; r < end; r++) {
            known[r] += w[r] > 0 ? 1 : 0;
        }
    }
}
