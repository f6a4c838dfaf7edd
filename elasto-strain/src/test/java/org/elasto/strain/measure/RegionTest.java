package org.elasto.strain.measure;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import org.locationtech.jts.algorithm.locate.SimplePointInAreaLocator;
import org.locationtech.jts.geom.Coordinate;
import org.locationtech.jts.geom.GeometryFactory;
import org.locationtech.jts.geom.Location;
import org.locationtech.jts.geom.Polygon;

/** Shapes against JTS, an independent geometry library, and against closed forms. */
class RegionTest {

    private static void refused(Runnable action, String... parts) {
        String message = assertThrows(IllegalArgumentException.class, action::run).getMessage();
        for (String part : parts) {
            assertTrue(message.contains(part), "'" + message + "' should name " + part);
        }
    }

    private static Polygon judge(double[] corners) {
        int n = corners.length / 2;
        Coordinate[] ring = new Coordinate[n + 1];
        for (int i = 0; i <= n; i++) {
            ring[i] = new Coordinate(corners[2 * (i % n)], corners[2 * (i % n) + 1]);
        }
        return new GeometryFactory().createPolygon(ring);
    }

    /** Corners around a middle by rising angle: never crosses itself. */
    private static double[] star(int corners, Random random) {
        double[] result = new double[2 * corners];
        for (int i = 0; i < corners; i++) {
            double angle = 2 * Math.PI * (i + 0.8 * random.nextDouble()) / corners;
            double r = 1e-3 + 9e-3 * random.nextDouble();
            result[2 * i] = r * Math.cos(angle);
            result[2 * i + 1] = 20e-3 + r * Math.sin(angle);
        }
        return result;
    }

    @Property(tries = 60, seed = "11")
    void polygonsAreAsTheJudgeSees(@ForAll @IntRange(min = 3, max = 40) int n, @ForAll long seed) {
        Random random = new Random(seed);
        double[] corners = star(n, random);
        Polygon judge = judge(corners);
        if (!judge.isValid()) {
            // Three corners within half a turn may leave the middle outside, never more than that.
            refused(() -> PolygonRegion.of(corners), "polygon");
            return;
        }
        PolygonRegion region = PolygonRegion.of(corners);
        assertEquals(judge.getArea(), region.area(), 1e-12 * judge.getArea());
        assertEquals(judge.getCentroid().getX(), region.centreX(), 1e-12);
        assertEquals(judge.getCentroid().getY(), region.centreZ(), 1e-12);
        for (int k = 0; k < 50; k++) {
            double x = 20e-3 * (random.nextDouble() - 0.5);
            double z = 20e-3 + 20e-3 * (random.nextDouble() - 0.5);
            int where = SimplePointInAreaLocator.locate(new Coordinate(x, z), judge);
            assertEquals(where != Location.EXTERIOR, region.contains(x, z), x + ", " + z);
        }
    }

    /** Random corners cross as often as not; both sides must say the same. */
    @Property(tries = 200, seed = "12")
    void crossingSidesAreRefused(@ForAll @IntRange(min = 3, max = 7) int n, @ForAll long seed) {
        Random random = new Random(seed);
        double[] corners = random.doubles(2L * n, 0, 0.02).toArray();
        if (judge(corners).isValid()) {
            assertEquals(n, PolygonRegion.of(corners).corners());
        } else {
            refused(() -> PolygonRegion.of(corners), "must not cross or touch");
        }
    }

    @Test
    void badPolygonsAreRefused() {
        refused(() -> Region.polygonMillimetres(0, 1, 2), "3 coordinates");
        refused(() -> Region.polygonMillimetres(0, 1, 2, 3), "2 corners", "at least 3");
        refused(() -> Region.polygonMillimetres(0, 1, 2, Double.NaN, 3, 3), "z of corner 1");
        refused(() -> Region.polygonMillimetres(0, 0, 0, 0, 3, 3), "corners 0 and 1");
        refused(() -> Region.polygonMillimetres(0, 0, 3, 0, 0, 0, 3, 3), "cross or touch");
        refused(() -> Region.polygonMillimetres(0, 0, 1, 0, 2, 0), "turns back", "corner 2");
        refused(
                () -> Region.polygonMillimetres(0, 0, 2, 2, 2, 0, 0, 2),
                "side from corner 0 meets that from corner 2");
        // A corner on another side.
        refused(() -> Region.polygonMillimetres(0, 0, 4, 0, 4, 4, 2, 0, 0, 4), "touch");
        refused(() -> Region.ellipseMillimetres(0, 10, 0, 1), "half width of the ellipse is 0.0");
        refused(() -> Region.ellipseMillimetres(0, Double.NaN, 1, 1), "depth of the ellipse");
    }

    /** Second moments of a rectangle a x b are a²/12; the ellipse with the same has a / sqrt(3). */
    @Property(tries = 30, seed = "13")
    void axesOfATurnedRectangle(
            @ForAll @DoubleRange(min = 2, max = 20) double length,
            @ForAll @DoubleRange(min = 0.1, max = 0.9) double share,
            @ForAll @DoubleRange(min = -1.5, max = 1.5) double angle) {
        double a = length / 2;
        double b = share * length / 2;
        double[][] corners = {{-a, -b}, {a, -b}, {a, b}, {-a, b}};
        double[] turned = new double[8];
        for (int i = 0; i < 4; i++) {
            double[] c = corners[i];
            turned[2 * i] = 5 + c[0] * Math.cos(angle) - c[1] * Math.sin(angle);
            turned[2 * i + 1] = 30 + c[0] * Math.sin(angle) + c[1] * Math.cos(angle);
        }
        PolygonRegion region = Region.polygonMillimetres(turned);
        assertEquals(4 * a / Math.sqrt(12) * 2e-3, region.longAxis(), 1e-9);
        assertEquals(4 * b / Math.sqrt(12) * 2e-3, region.shortAxis(), 1e-9);
        assertEquals(angle, region.longAxisAngle(), 1e-6);
        assertEquals(length * share * length * 1e-6, region.area(), 1e-14);
    }

    /** A turned ellipse against a fine polygon of it, in the judge's hands. */
    @Test
    void ellipsesAreAsTheJudgeSees() {
        EllipseRegion ellipse = new EllipseRegion(2e-3, 25e-3, 6e-3, 2e-3, 0.7);
        int n = 4000;
        double[] corners = new double[2 * n];
        for (int i = 0; i < n; i++) {
            double t = 2 * Math.PI * i / n;
            double a = 6e-3 * Math.cos(t);
            double b = 2e-3 * Math.sin(t);
            corners[2 * i] = 2e-3 + a * Math.cos(0.7) - b * Math.sin(0.7);
            corners[2 * i + 1] = 25e-3 + a * Math.sin(0.7) + b * Math.cos(0.7);
        }
        Polygon judge = judge(corners);
        assertEquals(judge.getArea(), ellipse.area(), 1e-6 * ellipse.area());
        assertEquals(judge.getEnvelopeInternal().getMinX(), ellipse.minX(), 1e-8);
        assertEquals(judge.getEnvelopeInternal().getMaxX(), ellipse.maxX(), 1e-8);
        assertEquals(judge.getEnvelopeInternal().getMinY(), ellipse.minZ(), 1e-8);
        assertEquals(judge.getEnvelopeInternal().getMaxY(), ellipse.maxZ(), 1e-8);
        Random random = new Random(5);
        int inside = 0;
        for (int k = 0; k < 300; k++) {
            double x = 2e-3 + 14e-3 * (random.nextDouble() - 0.5);
            double z = 25e-3 + 14e-3 * (random.nextDouble() - 0.5);
            boolean judged =
                    SimplePointInAreaLocator.locate(new Coordinate(x, z), judge)
                            != Location.EXTERIOR;
            assertEquals(judged, ellipse.contains(x, z), x + ", " + z);
            inside += judged ? 1 : 0;
        }
        assertTrue(inside > 30 && inside < 270, "inside " + inside);
    }

    @Property(tries = 40, seed = "14")
    void movingMovesAllAndChangesNothingElse(
            @ForAll long seed,
            @ForAll @DoubleRange(min = -0.02, max = 0.02) double dx,
            @ForAll @DoubleRange(min = -0.02, max = 0.02) double dz) {
        Random random = new Random(seed);
        double[] corners = star(8, random);
        Region[] regions = {
            PolygonRegion.of(corners),
            new EllipseRegion(1e-3, 20e-3, 4e-3, 2e-3, random.nextDouble())
        };
        for (Region region : regions) {
            Region moved = region.moved(dx, dz);
            assertEquals(region.area(), moved.area(), 1e-9 * region.area());
            assertEquals(region.centreX() + dx, moved.centreX(), 1e-12);
            assertEquals(region.centreZ() + dz, moved.centreZ(), 1e-12);
            assertEquals(region.maxX() + dx, moved.maxX(), 1e-15);
            assertEquals(region.minZ() + dz, moved.minZ(), 1e-15);
        }
    }

    @Test
    void textGoesThereAndBack() {
        for (String text :
                new String[] {
                    "ellipse 0 20 4 4",
                    "ellipse -3.25 18.0001 4.5 2 -30",
                    "polygon 0 10 5 10 5 15.5 0 15",
                }) {
            assertEquals(text, Region.parse(text).toText());
        }
        assertEquals(
                Region.polygonMillimetres(0, 10, 5, 10, 5, 15.5),
                Region.parse("  polygon 0 10  5 10  5 15.5 "));
        refused(() -> Region.parse("ellipse 1 2 3"), "'ellipse 1 2 3'", "HALF-WIDTH");
        refused(() -> Region.parse("circle 1 2 3"), "'circle 1 2 3'", "polygon X Z");
        refused(() -> Region.parse("ellipse 1 2 x 4"), "'x' is no number");
        refused(() -> Region.parse("polygon 0 0 1 1"), "2 corners");
        refused(() -> Region.parse(""), "no known form");
    }
}
