package org.elasto.strain.measure;

import org.elasto.api.Check;

/**
 * An ellipse in the image plane. Immutable and thread-safe.
 *
 * @param x lateral position of its middle (m)
 * @param z distance of its middle from the probe (m)
 * @param halfWidth half axis that lies across before it is turned (m), greater than 0
 * @param halfDepth half axis that lies along depth before it is turned (m), greater than 0
 * @param angle how far it is turned (rad), from the lateral axis towards depth
 */
public record EllipseRegion(double x, double z, double halfWidth, double halfDepth, double angle)
        implements Region {

    public EllipseRegion {
        // A metre is farther than any ultrasound reaches; finite and sane at once.
        Check.range("lateral position of the ellipse", x, -1, 1, "m");
        Check.range("depth of the ellipse", z, -1, 1, "m");
        Check.positive("half width of the ellipse", halfWidth, "m");
        Check.positive("half depth of the ellipse", halfDepth, "m");
        Check.range("half width of the ellipse", halfWidth, 0, 1, "m");
        Check.range("half depth of the ellipse", halfDepth, 0, 1, "m");
        Check.range("angle of the ellipse", angle, -2 * Math.PI, 2 * Math.PI, "rad");
    }

    @Override
    public boolean contains(double px, double pz) {
        double cos = Math.cos(angle);
        double sin = Math.sin(angle);
        double dx = px - x;
        double dz = pz - z;
        double a = (cos * dx + sin * dz) / halfWidth;
        double b = (cos * dz - sin * dx) / halfDepth;
        return a * a + b * b <= 1;
    }

    @Override
    public double area() {
        return Math.PI * halfWidth * halfDepth;
    }

    @Override
    public double centreX() {
        return x;
    }

    @Override
    public double centreZ() {
        return z;
    }

    @Override
    public double minX() {
        return x - reachX();
    }

    @Override
    public double maxX() {
        return x + reachX();
    }

    @Override
    public double minZ() {
        return z - reachZ();
    }

    @Override
    public double maxZ() {
        return z + reachZ();
    }

    private double reachX() {
        return Math.hypot(halfWidth * Math.cos(angle), halfDepth * Math.sin(angle));
    }

    private double reachZ() {
        return Math.hypot(halfWidth * Math.sin(angle), halfDepth * Math.cos(angle));
    }

    @Override
    public EllipseRegion moved(double dx, double dz) {
        return new EllipseRegion(x + dx, z + dz, halfWidth, halfDepth, angle);
    }

    @Override
    public String toText() {
        double[] millimetres = {x * 1e3, z * 1e3, halfWidth * 1e3, halfDepth * 1e3};
        if (angle == 0) {
            return RegionText.write("ellipse", millimetres);
        }
        return RegionText.write(
                "ellipse",
                millimetres[0],
                millimetres[1],
                millimetres[2],
                millimetres[3],
                Math.toDegrees(angle));
    }
}
