package org.elasto.strain.picture;

import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * For every pixel of a panel the place of a plane that it shows: inverse scan conversion. Immutable
 * and thread-safe.
 *
 * <p>A pixel lies between four places: {@code cell}, the next row, the next line, and the next row
 * of the next line. Pixels up to half a spacing beyond the outermost places show these.
 */
final class PixelMap {

    /** Index of the place to the upper left of each pixel, -1 for a pixel outside the plane. */
    final int[] cell;

    /** How far the pixel is on its way to the next line, 0 to 1. */
    final float[] alongLines;

    /** How far the pixel is on its way to the next row, 0 to 1. */
    final float[] alongRows;

    /** From a place to that on the next line; 0 if there is one line only. */
    final int lineStep;

    /** From a place to that in the next row; 0 if there is one row only. */
    final int rowStep;

    PixelMap(PictureScale scale, ScanGeometry geometry, RowGrid grid) {
        int lines = geometry.lines();
        int rows = grid.rows();
        lineStep = lines > 1 ? rows : 0;
        rowStep = rows > 1 ? 1 : 0;
        cell = new int[scale.width() * scale.height()];
        alongLines = new float[cell.length];
        alongRows = new float[cell.length];
        int pixel = 0;
        for (int y = 0; y < scale.height(); y++) {
            double z = scale.zMillimetres(scale.top() + y + 0.5) / 1000;
            for (int x = 0; x < scale.width(); x++, pixel++) {
                double across = scale.xMillimetres(scale.left() + x + 0.5) / 1000;
                double line = geometry.lineAt(across, z);
                double row = grid.rowAt(geometry.depthAt(across, z));
                boolean inside =
                        line >= -0.5 && line <= lines - 0.5 && row >= -0.5 && row <= rows - 0.5;
                if (!inside) {
                    cell[pixel] = -1;
                    continue;
                }
                int atLine = before(line, lines);
                int atRow = before(row, rows);
                cell[pixel] = atLine * rows + atRow;
                alongLines[pixel] = fraction(line - atLine);
                alongRows[pixel] = fraction(row - atRow);
            }
        }
    }

    /** The place before a fractional one, so that there is one after it if there are two at all. */
    static int before(double place, int count) {
        return Math.max(0, Math.min(count - 2, (int) Math.floor(place)));
    }

    static float fraction(double value) {
        return (float) Math.min(1, Math.max(0, value));
    }
}
