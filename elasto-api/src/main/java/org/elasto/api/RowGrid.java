package org.elasto.api;

/**
 * The depths at which a field or an image has its rows. Immutable and thread-safe.
 *
 * @param rows number of rows, at least 1
 * @param firstDepth depth of row 0 (m), zero or more
 * @param spacing depth from one row to the next (m), greater than 0
 */
public record RowGrid(int rows, double firstDepth, double spacing) {

    public RowGrid {
        Check.range("number of rows", rows, 1, 1 << 26);
        if (!(firstDepth >= 0) || Double.isInfinite(firstDepth)) {
            throw new IllegalArgumentException(
                    "depth of the first row is "
                            + firstDepth
                            + " m; it must be finite and not negative");
        }
        Check.positive("row spacing", spacing, "m");
    }

    /**
     * Depth of a row.
     *
     * @param row row number, fractions allowed
     * @return depth (m)
     */
    public double depth(double row) {
        return firstDepth + row * spacing;
    }

    /**
     * The row at a depth; inverse of {@link #depth}.
     *
     * @param depth depth (m)
     * @return row number, with its fraction, possibly outside the grid
     */
    public double rowAt(double depth) {
        return (depth - firstDepth) / spacing;
    }

    /**
     * Depth of the last row.
     *
     * @return depth (m)
     */
    public double lastDepth() {
        return depth(rows - 1);
    }
}
