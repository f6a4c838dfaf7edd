package org.elasto.strain.picture;

import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * Which lines the columns of a panel show, or which rows of a plane its rows, where one does not
 * depend on the other: for linear arrays. The same places and fractions as in {@link PixelMap}.
 * Immutable and thread-safe.
 */
final class AxisMap {

    /** The line or row before each pixel, -1 for a pixel outside. */
    final int[] at;

    /** How far the pixel is on its way to the next one, 0 to 1. */
    final float[] along;

    /** From a line or row to the next one: 1, or 0 if there is but one. */
    final int step;

    private AxisMap(int pixels, int count) {
        step = count > 1 ? 1 : 0;
        at = new int[pixels];
        along = new float[pixels];
    }

    /** The lines that the columns show. */
    static AxisMap ofColumns(PictureScale scale, ScanGeometry geometry) {
        AxisMap map = new AxisMap(scale.width(), geometry.lines());
        double z = scale.zMillimetres(scale.top() + 0.5) / 1000;
        for (int x = 0; x < scale.width(); x++) {
            double across = scale.xMillimetres(scale.left() + x + 0.5) / 1000;
            map.put(x, geometry.lineAt(across, z), geometry.lines());
        }
        return map;
    }

    /** The rows of a grid that the rows of pixels show. */
    static AxisMap ofRows(PictureScale scale, ScanGeometry geometry, RowGrid grid) {
        AxisMap map = new AxisMap(scale.height(), grid.rows());
        for (int y = 0; y < scale.height(); y++) {
            double z = scale.zMillimetres(scale.top() + y + 0.5) / 1000;
            map.put(y, grid.rowAt(geometry.depthAt(0, z)), grid.rows());
        }
        return map;
    }

    /** The first row that some pixels show, 0 if they show none. */
    int first(int from, int to) {
        for (int i = from; i < to; i++) {
            if (at[i] >= 0) {
                return at[i];
            }
        }
        return 0;
    }

    /** How many rows they show, with the one after; 0 if none. */
    int count(int from, int to) {
        for (int i = to - 1; i >= from; i--) {
            if (at[i] >= 0) {
                return at[i] + step - first(from, to) + 1;
            }
        }
        return 0;
    }

    /** The most rows that so many pixels show, counted in groups from the first pixel on. */
    int mostOf(int group) {
        int most = 0;
        for (int from = 0; from < at.length; from += group) {
            most = Math.max(most, count(from, Math.min(at.length, from + group)));
        }
        return most;
    }

    private void put(int pixel, double place, int count) {
        if (place >= -0.5 && place <= count - 0.5) {
            at[pixel] = PixelMap.before(place, count);
            along[pixel] = PixelMap.fraction(place - at[pixel]);
        } else {
            at[pixel] = -1;
        }
    }
}
