package org.elasto.strain.measure;

/**
 * A part of the image plane, in metres: x across, 0 in the middle of the probe and growing with the
 * line number; z away from the probe, as in {@link org.elasto.api.ScanGeometry#x} and {@link
 * org.elasto.api.ScanGeometry#z}. Immutable and thread-safe.
 *
 * <p>Regions have a text form, in millimetres and degrees ({@link #parse}, {@link #toText}).
 */
public sealed interface Region permits EllipseRegion, PolygonRegion {

    /**
     * Whether a point lies inside.
     *
     * @param x lateral position (m)
     * @param z distance from the probe (m)
     * @return true if it does; on the outline itself, either
     */
    boolean contains(double x, double z);

    /**
     * Area.
     *
     * @return area (m&sup2;)
     */
    double area();

    /**
     * Lateral position of the centroid.
     *
     * @return x (m)
     */
    double centreX();

    /**
     * Distance of the centroid from the probe.
     *
     * @return z (m)
     */
    double centreZ();

    /**
     * Smallest lateral position.
     *
     * @return x (m)
     */
    double minX();

    /**
     * Largest lateral position.
     *
     * @return x (m)
     */
    double maxX();

    /**
     * Smallest distance from the probe.
     *
     * @return z (m)
     */
    double minZ();

    /**
     * Largest distance from the probe.
     *
     * @return z (m)
     */
    double maxZ();

    /**
     * The same region elsewhere.
     *
     * @param dx how far to move it across (m)
     * @param dz how far to move it away from the probe (m)
     * @return the moved region
     */
    Region moved(double dx, double dz);

    /**
     * The text form, with lengths to a tenth of a micrometre: see {@link #parse}.
     *
     * @return text without commas
     */
    String toText();

    /**
     * An ellipse with its axes across and along depth.
     *
     * @param x lateral position of the middle (mm)
     * @param z distance of the middle from the probe (mm)
     * @param halfWidth half its width (mm), greater than 0
     * @param halfDepth half its extent in depth (mm), greater than 0
     * @return the region
     * @throws IllegalArgumentException naming the value that is not allowed
     */
    static EllipseRegion ellipseMillimetres(
            double x, double z, double halfWidth, double halfDepth) {
        return new EllipseRegion(x / 1e3, z / 1e3, halfWidth / 1e3, halfDepth / 1e3, 0);
    }

    /**
     * A polygon.
     *
     * @param corners x and z of each corner in turn (mm), clockwise or not; the last is joined to
     *     the first
     * @return the region
     * @throws IllegalArgumentException as {@link PolygonRegion#of}
     */
    static PolygonRegion polygonMillimetres(double... corners) {
        double[] metres = new double[corners.length];
        for (int i = 0; i < corners.length; i++) {
            metres[i] = corners[i] / 1e3;
        }
        return PolygonRegion.of(metres);
    }

    /**
     * Reads the text form: {@code ellipse X Z HALF-WIDTH HALF-DEPTH [ANGLE]} or {@code polygon X Z
     * X Z X Z ...}, numbers parted by spaces, in millimetres, the angle in degrees from the lateral
     * axis towards depth.
     *
     * @param text such as {@code ellipse 0 20 4 4}
     * @return the region
     * @throws IllegalArgumentException if the text is not of that form or the region not allowed,
     *     with the text
     */
    static Region parse(String text) {
        return RegionText.parse(text);
    }
}
