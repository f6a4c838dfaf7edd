package org.elasto.strain.picture;

import org.elasto.api.ScanGeometry;

/**
 * The columns of a panel, of which each lies between two lines all along: for linear arrays. The
 * last line has itself as a neighbour. Immutable and thread-safe.
 */
final class ColumnMap {

    final int width;

    /** The line before each column; 0 outside the scan. */
    final int[] line;

    /** How far each column is on its way to the next line, 0 to 1. */
    final float[] along;

    /** Where the scan begins and ends. */
    final int first;

    final int end;

    private final int[] firstOf;

    ColumnMap(PictureScale panel, ScanGeometry geometry) {
        width = panel.width();
        AxisMap columns = AxisMap.ofColumns(panel, geometry);
        along = columns.along;
        line = new int[width];
        int x = 0;
        while (x < width && columns.at[x] < 0) {
            x++;
        }
        first = x;
        for (; x < width && columns.at[x] >= 0; x++) {
            line[x] = columns.at[x];
        }
        end = x;
        firstOf = new int[geometry.lines() + 1];
        x = first;
        for (int i = 0; i < firstOf.length; i++) {
            while (x < end && line[x] < i) {
                x++;
            }
            firstOf[i] = x;
        }
    }

    /** First column that lies behind a line; of the number of lines, the end of the scan. */
    int firstOf(int atLine) {
        return firstOf[atLine];
    }

    /**
     * How far each column is on its way to the next line, as so many bits.
     *
     * @param places receives it
     */
    void places(int bits, int[] places) {
        for (int x = 0; x < width; x++) {
            places[x] = Math.round(along[x] * (1 << bits));
        }
    }
}
