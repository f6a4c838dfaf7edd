package org.elasto.api;

import java.util.Objects;

/**
 * Everything about a displacement field but its values: what a strain estimator or a quality metric
 * is made for. Immutable and thread-safe.
 *
 * @param geometry geometry of the frames; the field has the same lines
 * @param grid depths of the rows
 * @param lateral whether the field has lateral displacement as well
 * @param axialErrors how the errors of axial displacement go together along a line
 * @param lateralErrors how they go together across the lines, half-way down the scan
 */
public record FieldLayout(
        ScanGeometry geometry,
        RowGrid grid,
        boolean lateral,
        ErrorCorrelation axialErrors,
        ErrorCorrelation lateralErrors) {

    public FieldLayout {
        Objects.requireNonNull(geometry, "geometry is missing");
        Objects.requireNonNull(grid, "row grid is missing");
        Objects.requireNonNull(axialErrors, "error correlation is missing");
        Objects.requireNonNull(lateralErrors, "error correlation across lines is missing");
        planeSize(geometry, grid);
    }

    /**
     * A layout whose lines were estimated each on its own.
     *
     * @param geometry geometry of the frames
     * @param grid depths of the rows
     * @param lateral whether the field has lateral displacement as well
     * @param axialErrors how the errors of axial displacement go together along a line
     */
    public FieldLayout(
            ScanGeometry geometry, RowGrid grid, boolean lateral, ErrorCorrelation axialErrors) {
        this(geometry, grid, lateral, axialErrors, ErrorCorrelation.INDEPENDENT);
    }

    /**
     * Number of values in a plane.
     *
     * @return lines times rows
     */
    public int planeSize() {
        return geometry.lines() * grid.rows();
    }

    static int planeSize(ScanGeometry geometry, RowGrid grid) {
        long size = (long) geometry.lines() * grid.rows();
        if (size > Integer.MAX_VALUE - 8) {
            throw new IllegalArgumentException(
                    "a plane of "
                            + geometry.lines()
                            + " lines x "
                            + grid.rows()
                            + " rows is too large; at most 2147483639 values");
        }
        return (int) size;
    }
}
