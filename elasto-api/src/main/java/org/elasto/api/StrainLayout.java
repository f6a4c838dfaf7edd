package org.elasto.api;

import java.util.Objects;

/**
 * Everything about a strain image but its values. Immutable and thread-safe.
 *
 * @param geometry geometry of the frames; the image has the same lines
 * @param grid depths of the rows
 * @param lateral whether the image has lateral and shear strain as well
 * @param resolution depth over which the response to a step of strain rises from 10 % to 90 % (m),
 *     by the strain estimator alone, without the windows of the displacement estimator
 */
public record StrainLayout(
        ScanGeometry geometry, RowGrid grid, boolean lateral, double resolution) {

    public StrainLayout {
        Objects.requireNonNull(geometry, "geometry is missing");
        Objects.requireNonNull(grid, "row grid is missing");
        FieldLayout.planeSize(geometry, grid);
        Check.positive("resolution", resolution, "m");
    }

    /**
     * Number of values in a plane.
     *
     * @return lines times rows
     */
    public int planeSize() {
        return geometry.lines() * grid.rows();
    }
}
