package org.elasto.strain.picture;

import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * Paints scans of linear arrays, where a row of pixels lies between two rows of a plane all along:
 * interpolates first between these, once for every line, and then between the lines. The same
 * picture as by {@link ScanPainter} but for rounding.
 */
final class LinearPainter extends PanelPainter {

    private final int lines;
    private final AxisMap columns;
    private final AxisMap echoRows;
    private final AxisMap strainRows;
    private final int strainRowCount;

    // One row of every line, for each worker.
    private final float[][] level;
    private final float[][] sum;
    private final float[][] weight;
    private final boolean[][] near;

    LinearPainter(
            PictureLayout layout,
            EchoPicture echo,
            ColourScale colours,
            ScanGeometry geometry,
            RowGrid grid,
            int workers) {
        super(layout, echo, colours);
        lines = geometry.lines();
        columns = AxisMap.ofColumns(layout.echo, geometry);
        echoRows = AxisMap.ofRows(layout.echo, geometry, echo.grid());
        strainRows = AxisMap.ofRows(layout.strain, geometry, grid);
        strainRowCount = grid.rows();
        // The last line has itself as a neighbour.
        level = new float[workers][lines + 1];
        sum = new float[workers][lines + 1];
        weight = new float[workers][lines + 1];
        near = new boolean[workers][lines + 1];
    }

    @Override
    void row(int y, int worker) {
        int echoRow = echoRows.at[y];
        int echoPixel = firstPixel(layout.echo, y);
        int strainPixel = firstPixel(layout.strain, y);
        if (echoRow < 0) {
            for (int x = 0; x < columns.at.length; x++) {
                argb[echoPixel + x] = Decoration.BLANK;
                argb[strainPixel + x] = Decoration.BLANK;
            }
            return;
        }
        levels(echoRow, echoRows.along[y], level[worker]);
        echo(level[worker], echoPixel);
        if (strainRows.at[y] < 0) {
            java.util.Arrays.fill(near[worker], false);
        } else {
            strains(strainRows.at[y], strainRows.along[y], worker);
        }
        strain(y, worker, echoPixel, strainPixel);
    }

    /** One row of levels on every line, as brightness from 0 to 255, rounded when cut off. */
    private void levels(int row, float b, float[] out) {
        float[] levels = echo.levels();
        int rows = echo.grid().rows();
        int down = rows > 1 ? 1 : 0;
        int at = row;
        for (int line = 0; line < lines; line++, at += rows) {
            float here = levels[at];
            out[line] = (here + b * (levels[at + down] - here)) * 255 + 0.5f;
        }
        out[lines] = out[lines - 1];
    }

    private void echo(float[] levels, int pixel) {
        int[] out = argb;
        int[] at = columns.at;
        float[] along = columns.along;
        for (int x = 0; x < at.length; x++) {
            int line = at[x];
            if (line < 0) {
                out[pixel + x] = Decoration.BLANK;
                continue;
            }
            float here = levels[line];
            int grey = (int) (here + along[x] * (levels[line + 1] - here));
            out[pixel + x] = 0xff000000 | grey * 0x010101;
        }
    }

    /** For every line the sum of the trusted ones of two rows by their weights, and the weights. */
    private void strains(int row, float b, int worker) {
        float[] sums = sum[worker];
        float[] weights = weight[worker];
        boolean[] nearest = near[worker];
        float[] values = plane;
        int down = strainRowCount > 1 ? 1 : 0;
        int at = row;
        for (int line = 0; line < lines; line++, at += strainRowCount) {
            boolean above = isTrusted(at);
            boolean below = isTrusted(at + down);
            float w0 = above ? 1 - b : 0;
            float w1 = below ? b : 0;
            float x = w0 > 0 ? w0 * values[at] : 0;
            sums[line] = x + (w1 > 0 ? w1 * values[at + down] : 0);
            weights[line] = above && below ? 1 : w0 + w1;
            nearest[line] = b >= 0.5f ? below : above;
        }
        sums[lines] = sums[lines - 1];
        weights[lines] = weights[lines - 1];
        nearest[lines] = nearest[lines - 1];
    }

    private void strain(int y, int worker, int echoPixel, int pixel) {
        float[] sums = sum[worker];
        float[] weights = weight[worker];
        boolean[] nearest = near[worker];
        int[] out = argb;
        int[] at = columns.at;
        float[] along = columns.along;
        int[] dimmed = Hatch.dimmed();
        int unit = layout.unit;
        int hatch = y % hatchPeriod;
        for (int x = 0; x < at.length; x++) {
            int line = at[x];
            float a = along[x];
            if (line < 0) {
                out[pixel + x] = Decoration.BLANK;
            } else if (nearest[a >= 0.5f ? line + 1 : line]) {
                float value = sums[line] + a * (sums[line + 1] - sums[line]);
                float w = weights[line] + a * (weights[line + 1] - weights[line]);
                // Mostly all is trusted, and a division takes as long as all the rest.
                out[pixel + x] = colour(Math.abs(w == 1 ? value : value / w));
            } else {
                out[pixel + x] = hatch < unit ? Hatch.LINE : dimmed[out[echoPixel + x] & 255];
            }
            hatch = hatch + 1 == hatchPeriod ? 0 : hatch + 1;
        }
    }
}
