package org.elasto.strain.measure;

/**
 * Size of an inclusion by its outline at half contrast. Immutable and thread-safe.
 *
 * <p>Where no outline was found, {@code problem} says why, the outline is null and all sizes are
 * NaN.
 *
 * @param outline the outline, or null
 * @param insideMean mean of what is shown, within the region given as inside
 * @param surroundingsMean mean within the region given as surroundings
 * @param problem why there is no outline; empty if there is one
 */
public record InclusionSize(
        PolygonRegion outline, double insideMean, double surroundingsMean, String problem) {

    /**
     * Whether there is an outline.
     *
     * @return true if sizes are known
     */
    public boolean found() {
        return outline != null;
    }

    /**
     * Area within the outline.
     *
     * @return area (m&sup2;), or NaN
     */
    public double area() {
        return found() ? outline.area() : Double.NaN;
    }

    /**
     * Diameter of the circle of the same area.
     *
     * @return diameter (m), or NaN
     */
    public double equivalentDiameter() {
        return 2 * Math.sqrt(area() / Math.PI);
    }

    /**
     * Longer axis of the ellipse with the outline's second moments.
     *
     * @return full length (m), or NaN
     */
    public double longAxis() {
        return found() ? outline.longAxis() : Double.NaN;
    }

    /**
     * Shorter axis of the ellipse with the outline's second moments.
     *
     * @return full length (m), or NaN
     */
    public double shortAxis() {
        return found() ? outline.shortAxis() : Double.NaN;
    }

    /**
     * Size in this image over that in another, such as in strain over in echo: the ratio of the
     * equivalent diameters.
     *
     * @param other size in the other image
     * @return ratio, or NaN if either is not known
     */
    public double over(InclusionSize other) {
        return equivalentDiameter() / other.equivalentDiameter();
    }
}
