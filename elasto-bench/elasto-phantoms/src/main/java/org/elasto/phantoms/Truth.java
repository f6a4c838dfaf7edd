package org.elasto.phantoms;

import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * The true motion from one frame to another, at the places tissue has in the first of the two.
 *
 * <p>Planes line after line as in {@link org.elasto.api.DisplacementField}: the value of row {@code
 * r} on line {@code l} stands at {@code l * rows + r}. The planes are this object's own arrays, to
 * be read only.
 */
public final class Truth {

    private final int from;
    private final int to;
    private final ScanGeometry geometry;
    private final RowGrid grid;
    private final double correlation;
    private final float[] axial;
    private final float[] lateral;
    private final float[] axialStrain;
    private final boolean[] visible;

    Truth(int from, int to, ScanGeometry geometry, RowGrid grid, double correlation) {
        this.from = from;
        this.to = to;
        this.geometry = geometry;
        this.grid = grid;
        this.correlation = correlation;
        long size = (long) geometry.lines() * grid.rows();
        if (size > Integer.MAX_VALUE - 8) {
            throw new IllegalArgumentException(
                    "a plane of "
                            + geometry.lines()
                            + " lines x "
                            + grid.rows()
                            + " rows is too large");
        }
        axial = new float[(int) size];
        lateral = new float[(int) size];
        axialStrain = new float[(int) size];
        visible = new boolean[(int) size];
    }

    /**
     * The frame at whose places the motion is given.
     *
     * @return frame number
     */
    public int from() {
        return from;
    }

    /**
     * The frame into which tissue has moved.
     *
     * @return frame number
     */
    public int to() {
        return to;
    }

    /**
     * Geometry of the frames.
     *
     * @return the geometry
     */
    public ScanGeometry geometry() {
        return geometry;
    }

    /**
     * Depths of the rows.
     *
     * @return the grid
     */
    public RowGrid grid() {
        return grid;
    }

    /**
     * Axial displacement (m), positive away from the probe: change of the depth along the line
     * through the tissue; NaN where no tissue has come to be.
     *
     * @return the plane
     */
    public float[] axial() {
        return axial;
    }

    /**
     * Lateral displacement (m), positive towards higher line numbers, for a convex probe along the
     * arc at the first place; NaN where no tissue has come to be.
     *
     * @return the plane
     */
    public float[] lateral() {
        return lateral;
    }

    /**
     * Derivative of the axial displacement with respect to depth, at the place in the first frame:
     * negative where tissue is pressed between the two frames; NaN where no tissue has come to be.
     *
     * @return the plane
     */
    public float[] axialStrain() {
        return axialStrain;
    }

    /**
     * Whether the motion can be seen: the tissue echoes in both frames, is still within the scan in
     * the second, and at least half correlated.
     *
     * @return the plane
     */
    public boolean[] visible() {
        return visible;
    }

    /**
     * Correlation of the tissue's echoes between the frames as far as motion across the image plane
     * leaves it, noise and deformation left aside.
     *
     * @return 0 to 1
     */
    public double correlation() {
        return correlation;
    }
}
