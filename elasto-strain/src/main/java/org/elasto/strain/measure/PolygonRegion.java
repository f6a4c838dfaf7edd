package org.elasto.strain.measure;

import java.util.Arrays;
import org.elasto.api.Check;

/**
 * A polygon in the image plane, of three corners or more, whose sides do not cross: what lies
 * inside one that crosses itself is a matter of taste, so it is refused. Immutable and thread-safe.
 *
 * <p>Area, centroid and second moments are those of the surface, by the shoelace formulas (Green's
 * theorem, textbooks of geometry).
 */
public final class PolygonRegion implements Region {

    private static final int MOST_CORNERS = 10_000;

    private final double[] x;
    private final double[] z;
    private final double area;
    private final double centreX;
    private final double centreZ;

    /** Second moments about the centroid over the area: xx, xz, zz. */
    private final double[] moments;

    private final double minX;
    private final double maxX;
    private final double minZ;
    private final double maxZ;

    private PolygonRegion(double[] x, double[] z) {
        this.x = x;
        this.z = z;
        minX = Arrays.stream(x).min().getAsDouble();
        maxX = Arrays.stream(x).max().getAsDouble();
        minZ = Arrays.stream(z).min().getAsDouble();
        maxZ = Arrays.stream(z).max().getAsDouble();
        // Relative to a corner, so that small polygons far away lose no digits.
        double x0 = x[0];
        double z0 = z[0];
        double sum = 0;
        double sx = 0;
        double sz = 0;
        double sxx = 0;
        double sxz = 0;
        double szz = 0;
        for (int i = 0; i < x.length; i++) {
            int j = i + 1 == x.length ? 0 : i + 1;
            double xi = x[i] - x0;
            double zi = z[i] - z0;
            double xj = x[j] - x0;
            double zj = z[j] - z0;
            double cross = xi * zj - xj * zi;
            sum += cross;
            sx += cross * (xi + xj);
            sz += cross * (zi + zj);
            sxx += cross * (xi * xi + xi * xj + xj * xj);
            szz += cross * (zi * zi + zi * zj + zj * zj);
            sxz += cross * (xi * zj + 2 * xi * zi + 2 * xj * zj + xj * zi);
        }
        area = Math.abs(sum) / 2;
        double cx = sx / (3 * sum);
        double cz = sz / (3 * sum);
        centreX = x0 + cx;
        centreZ = z0 + cz;
        moments =
                new double[] {
                    sxx / (6 * sum) - cx * cx, sxz / (12 * sum) - cx * cz, szz / (6 * sum) - cz * cz
                };
    }

    /**
     * A polygon.
     *
     * @param corners x and z of each corner in turn (m), clockwise or not; the last is joined to
     *     the first
     * @return the region
     * @throws IllegalArgumentException for fewer than three corners or more than 10000, a
     *     coordinate that is not within 1 m, two neighbouring corners at one place, sides that
     *     cross or touch, or no area; it names the corners, counted from 0
     */
    public static PolygonRegion of(double... corners) {
        if (corners.length % 2 != 0) {
            throw new IllegalArgumentException(
                    "polygon has "
                            + corners.length
                            + " coordinates; each corner must have an x and a z");
        }
        int n = corners.length / 2;
        if (n < 3 || n > MOST_CORNERS) {
            throw new IllegalArgumentException(
                    "polygon has "
                            + n
                            + " corners; it must have at least 3 and at most "
                            + MOST_CORNERS);
        }
        double[] x = new double[n];
        double[] z = new double[n];
        for (int i = 0; i < n; i++) {
            x[i] = Check.range("x of corner " + i, corners[2 * i], -1, 1, "m");
            z[i] = Check.range("z of corner " + i, corners[2 * i + 1], -1, 1, "m");
        }
        checkSides(x, z);
        return new PolygonRegion(x, z);
    }

    /** For outlines that are simple by the way they were found. */
    static PolygonRegion ofOutline(double[] x, double[] z) {
        return new PolygonRegion(x, z);
    }

    private static void checkSides(double[] x, double[] z) {
        int n = x.length;
        for (int i = 0; i < n; i++) {
            int j = (i + 1) % n;
            if (x[i] == x[j] && z[i] == z[j]) {
                throw new IllegalArgumentException(
                        "corners " + i + " and " + j + " of the polygon are at one place");
            }
            int k = (j + 1) % n;
            boolean back =
                    turn(x, z, i, j, k) == 0
                            && (x[j] - x[i]) * (x[k] - x[j]) + (z[j] - z[i]) * (z[k] - z[j]) < 0;
            if (back) {
                throw new IllegalArgumentException(
                        "the polygon turns back on itself at corner "
                                + j
                                + "; its sides must not cross or touch");
            }
        }
        for (int i = 0; i < n; i++) {
            for (int j = i + 2; j < n; j++) {
                boolean neighbours = i == 0 && j == n - 1;
                if (!neighbours && meet(x, z, i, j)) {
                    throw new IllegalArgumentException(
                            "the polygon's side from corner "
                                    + i
                                    + " meets that from corner "
                                    + j
                                    + "; its sides must not cross or touch");
                }
            }
        }
    }

    private static boolean meet(double[] x, double[] z, int i, int j) {
        int n = x.length;
        int ii = (i + 1) % n;
        int jj = (j + 1) % n;
        double a = turn(x, z, i, ii, j);
        double b = turn(x, z, i, ii, jj);
        double c = turn(x, z, j, jj, i);
        double d = turn(x, z, j, jj, ii);
        if (a * b < 0 && c * d < 0) {
            return true;
        }
        return a == 0 && between(x, z, i, ii, j)
                || b == 0 && between(x, z, i, ii, jj)
                || c == 0 && between(x, z, j, jj, i)
                || d == 0 && between(x, z, j, jj, ii);
    }

    /** Twice the signed area of the triangle of three corners, as a sign. */
    private static double turn(double[] x, double[] z, int a, int b, int c) {
        return Math.signum((x[b] - x[a]) * (z[c] - z[a]) - (x[c] - x[a]) * (z[b] - z[a]));
    }

    private static boolean between(double[] x, double[] z, int a, int b, int c) {
        return Math.min(x[a], x[b]) <= x[c]
                && x[c] <= Math.max(x[a], x[b])
                && Math.min(z[a], z[b]) <= z[c]
                && z[c] <= Math.max(z[a], z[b]);
    }

    /**
     * Number of corners.
     *
     * @return at least 3
     */
    public int corners() {
        return x.length;
    }

    /**
     * Lateral position of a corner.
     *
     * @param corner its number, from 0
     * @return x (m)
     */
    public double x(int corner) {
        return x[corner];
    }

    /**
     * Distance of a corner from the probe.
     *
     * @param corner its number, from 0
     * @return z (m)
     */
    public double z(int corner) {
        return z[corner];
    }

    /**
     * The longer full axis of the ellipse that has the same second moments.
     *
     * @return length (m)
     */
    public double longAxis() {
        return axis(1);
    }

    /**
     * The shorter full axis of the ellipse that has the same second moments.
     *
     * @return length (m)
     */
    public double shortAxis() {
        return axis(-1);
    }

    /**
     * Direction of the longer axis.
     *
     * @return angle from the lateral axis towards depth (rad), above -&pi;/2 up to &pi;/2;
     *     meaningless for a round region
     */
    public double longAxisAngle() {
        return Math.atan2(2 * moments[1], moments[0] - moments[2]) / 2;
    }

    // A filled ellipse with half axis a has a second moment of a²/4 along it.
    private double axis(int sign) {
        double mean = (moments[0] + moments[2]) / 2;
        double spread = Math.hypot((moments[0] - moments[2]) / 2, moments[1]);
        return 4 * Math.sqrt(Math.max(0, mean + sign * spread));
    }

    @Override
    public boolean contains(double px, double pz) {
        if (px < minX || px > maxX || pz < minZ || pz > maxZ) {
            return false;
        }
        boolean inside = false;
        double ax = x[x.length - 1];
        double az = z[x.length - 1];
        for (int i = 0; i < x.length; i++) {
            double bx = x[i];
            double bz = z[i];
            if (az > pz != bz > pz && px < ax + (pz - az) / (bz - az) * (bx - ax)) {
                inside = !inside;
            }
            ax = bx;
            az = bz;
        }
        return inside;
    }

    @Override
    public double area() {
        return area;
    }

    @Override
    public double centreX() {
        return centreX;
    }

    @Override
    public double centreZ() {
        return centreZ;
    }

    @Override
    public double minX() {
        return minX;
    }

    @Override
    public double maxX() {
        return maxX;
    }

    @Override
    public double minZ() {
        return minZ;
    }

    @Override
    public double maxZ() {
        return maxZ;
    }

    @Override
    public PolygonRegion moved(double dx, double dz) {
        double[] corners = new double[2 * x.length];
        for (int i = 0; i < x.length; i++) {
            corners[2 * i] = x[i] + dx;
            corners[2 * i + 1] = z[i] + dz;
        }
        return of(corners);
    }

    @Override
    public String toText() {
        double[] millimetres = new double[2 * x.length];
        for (int i = 0; i < x.length; i++) {
            millimetres[2 * i] = x[i] * 1e3;
            millimetres[2 * i + 1] = z[i] * 1e3;
        }
        return RegionText.write("polygon", millimetres);
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof PolygonRegion that
                && Arrays.equals(x, that.x)
                && Arrays.equals(z, that.z);
    }

    @Override
    public int hashCode() {
        return 31 * Arrays.hashCode(x) + Arrays.hashCode(z);
    }

    @Override
    public String toString() {
        return toText() + " mm";
    }
}
