package org.elasto.strain.measure;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Locale;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.apache.commons.math3.analysis.integration.gauss.GaussIntegratorFactory;
import org.apache.commons.math3.analysis.solvers.BrentSolver;
import org.apache.commons.math3.special.Erf;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.phantoms.Inclusion;
import org.elasto.phantoms.Phantom;
import org.elasto.strain.picture.EchoPicture;
import org.elasto.strain.picture.PictureConfig;
import org.junit.jupiter.api.Test;

class InclusionOutlineTest {

    private static final RowGrid GRID = new RowGrid(150, 2e-3, 0.2e-3);
    private static final ScanGeometry LINEAR = StrainImages.linear(100);

    /** Keeps the nodes, which take long to find. */
    private static final GaussIntegratorFactory NODES = new GaussIntegratorFactory();

    /**
     * A disc of height 1 under a Gaussian blur, at a distance from its middle: the part of a
     * Gaussian there that falls on the disc, by numerical integration.
     */
    private static double blurredDisc(double distance, double radius, double blur) {
        double from = Math.max(-radius, distance - 9 * blur);
        double to = Math.min(radius, distance + 9 * blur);
        if (from >= to) {
            return 0;
        }
        // Over the angle at which a place lies on the rim, so that nothing is singular there.
        return NODES.legendre(80, Math.asin(from / radius), Math.asin(to / radius))
                .integrate(
                        t -> {
                            double d = (radius * Math.sin(t) - distance) / blur;
                            double half = radius * Math.cos(t);
                            return Math.exp(-0.5 * d * d)
                                    / (Math.sqrt(2 * Math.PI) * blur)
                                    * Erf.erf(half / (Math.sqrt(2) * blur))
                                    * half;
                        });
    }

    /** Where the blurred disc is half-way between its middle and nothing. */
    private static double halfWay(double radius, double blur) {
        double level = blurredDisc(0, radius, blur) / 2;
        return new BrentSolver(1e-9)
                .solve(100, r -> blurredDisc(r, radius, blur) - level, radius / 5, 2 * radius);
    }

    private static float[] discs(
            ScanGeometry geometry, double x, double z, double radius, double blur) {
        int steps = 400;
        double reach = radius + 8 * blur;
        double[] profile = new double[steps + 2];
        for (int i = 0; i < profile.length; i++) {
            profile[i] = blurredDisc(reach * i / steps, radius, blur);
        }
        StrainImage image =
                StrainImages.image(
                        geometry,
                        GRID,
                        (px, pz) -> {
                            double r = Math.hypot(px - x, pz - z) / reach * steps;
                            if (r >= steps) {
                                return -0.01;
                            }
                            int i = (int) r;
                            double p = profile[i] + (r - i) * (profile[i + 1] - profile[i]);
                            return -0.01 + 0.007 * p;
                        });
        return image.axial();
    }

    private static InclusionSize measure(
            ScanGeometry geometry, double smoothing, float[] plane, double x, double z) {
        return new InclusionOutline(geometry, GRID, smoothing)
                .measure(
                        plane,
                        null,
                        new EllipseRegion(x, z, 0.6e-3, 0.6e-3, 0),
                        new EllipseRegion(x, z + 11e-3, 3e-3, 1e-3, 0));
    }

    @Test
    void blurredDiscsHaveTheAnalyticArea() {
        ScanGeometry convex = StrainImages.convex(100);
        for (double radius : new double[] {3e-3, 5e-3}) {
            for (double blur : new double[] {0.4e-3, 0.8e-3, 1.2e-3}) {
                double expected = Math.PI * Math.pow(halfWay(radius, blur), 2);
                for (ScanGeometry geometry : new ScanGeometry[] {LINEAR, convex}) {
                    InclusionSize size =
                            measure(
                                    geometry,
                                    0,
                                    discs(geometry, 1.03e-3, 17.07e-3, radius, blur),
                                    1.03e-3,
                                    17.07e-3);
                    assertEquals("", size.problem());
                    assertEquals(expected, size.area(), 0.01 * expected, radius + ", " + blur);
                    assertEquals(1, size.longAxis() / size.shortAxis(), 0.01);
                    assertEquals(size.equivalentDiameter(), size.longAxis(), 0.1e-3);
                    assertEquals(1.03e-3, size.outline().centreX(), 20e-6);
                    assertEquals(17.07e-3, size.outline().centreZ(), 20e-6);
                    assertEquals(-0.01, size.surroundingsMean(), 1e-6);
                }
            }
        }
        // The rule of thumb of the Javadoc.
        assertEquals(5e-3 - 0.8e-3 * 0.8e-3 / (2 * 5e-3), halfWay(5e-3, 0.8e-3), 10e-6);
    }

    /** Smoothing is the Gaussian it says: its variance adds to that of the image's own blur. */
    @Test
    void smoothingIsAGaussianInAnyGeometry() {
        for (ScanGeometry geometry : new ScanGeometry[] {LINEAR, StrainImages.convex(100)}) {
            float[] plane = discs(geometry, 0, 17e-3, 3e-3, 0.5e-3);
            double before = measure(geometry, 0, plane, 0, 17e-3).area();
            double after = measure(geometry, 1e-3, plane, 0, 17e-3).area();
            double level = (1 + 0.0) / 2;
            double wide = Math.hypot(1e-3, 0.5e-3);
            // The level is that of the image before it is smoothed.
            double r =
                    new BrentSolver(1e-9)
                            .solve(100, d -> blurredDisc(d, 3e-3, wide) - level, 1e-3, 6e-3);
            assertEquals(Math.PI * r * r, after, 0.015 * after);
            assertTrue(after < 0.97 * before, after + " after " + before);
        }
    }

    @Property(tries = 12, seed = "31")
    void movedMirroredAndTurnedUpsideDownTheSizeStays(
            @ForAll @DoubleRange(min = -4, max = 4) double x,
            @ForAll @DoubleRange(min = 12, max = 18) double z) {
        float[] plane = discs(LINEAR, x / 1e3, z / 1e3, 4e-3, 0.6e-3);
        double expected = Math.PI * Math.pow(halfWay(4e-3, 0.6e-3), 2);
        InclusionSize size = measure(LINEAR, 0, plane, x / 1e3, z / 1e3);
        assertEquals(expected, size.area(), 0.01 * expected);
        float[] mirrored = new float[plane.length];
        float[] negative = new float[plane.length];
        for (int i = 0; i < plane.length; i++) {
            mirrored[(99 - i / 150) * 150 + i % 150] = plane[i];
            negative[i] = -3 * plane[i];
        }
        InclusionSize other = measure(LINEAR, 0, mirrored, -x / 1e3, z / 1e3);
        assertEquals(size.area(), other.area(), 1e-5 * size.area());
        assertEquals(-size.outline().centreX(), other.outline().centreX(), 1e-8);
        InclusionSize opposite = measure(LINEAR, 0, negative, x / 1e3, z / 1e3);
        assertEquals(size.area(), opposite.area(), 1e-5 * size.area());
        assertEquals(1, size.over(opposite), 1e-5);
    }

    @Test
    void anEllipseKeepsItsAxes() {
        StrainImage image =
                StrainImages.image(
                        LINEAR,
                        GRID,
                        (x, z) -> {
                            double a = (x * 0.8 + (z - 17e-3) * 0.6) / 6e-3;
                            double b = ((z - 17e-3) * 0.8 - x * 0.6) / 3e-3;
                            return -0.01 / (1 + Math.exp(-8 * (Math.hypot(a, b) - 1)));
                        });
        InclusionSize size = measure(LINEAR, 0, image.axial(), 0, 17e-3);
        assertEquals(12e-3, size.longAxis(), 0.15e-3);
        assertEquals(6e-3, size.shortAxis(), 0.15e-3);
        assertEquals(Math.atan2(0.6, 0.8), size.outline().longAxisAngle(), 0.02);
    }

    @Test
    void holesAndUnusableSpecksDoNotMatterButEdgesDo() {
        float[] plane = discs(LINEAR, 0, 17e-3, 5e-3, 0.5e-3);
        InclusionSize whole = measure(LINEAR, 0.4e-3, plane, 0, 17e-3);
        boolean[] usable = new boolean[plane.length];
        Random random = new Random(9);
        for (int i = 0; i < usable.length; i++) {
            usable[i] = random.nextDouble() > 0.1;
        }
        float[] holed = plane.clone();
        holed[52 * 150 + 80] = -0.05f;
        holed[30 * 150 + 30] = Float.NaN;
        InclusionOutline finder = new InclusionOutline(LINEAR, GRID, 0.4e-3);
        Region within = Region.ellipseMillimetres(0, 17, 2, 2);
        Region around = Region.ellipseMillimetres(0, 28, 3, 1);
        InclusionSize specked = finder.measure(holed, usable, within, around);
        assertTrue(specked.found(), specked.problem());
        assertEquals(1, specked.over(whole), 0.01);

        // Half of it where nothing is trusted.
        Arrays.fill(usable, true);
        for (int i = 0; i < usable.length; i++) {
            usable[i] = i / 150 < 55;
        }
        InclusionSize cut = finder.measure(plane, usable, within, around);
        assertFalse(cut.found());
        assertTrue(cut.problem().contains("not trusted"), cut.problem());
        assertTrue(Double.isNaN(cut.area()) && Double.isNaN(cut.longAxis()));
        assertTrue(Double.isNaN(cut.over(whole)));

        float[] atEdge = discs(LINEAR, -13e-3, 17e-3, 5e-3, 0.5e-3);
        InclusionSize open = measure(LINEAR, 0, atEdge, -13e-3, 17e-3);
        assertTrue(open.problem().contains("edge of the image"), open.problem());

        float[] flat = new float[plane.length];
        assertTrue(measure(LINEAR, 0, flat, 0, 17e-3).problem().contains("alike"));
        Arrays.fill(usable, false);
        assertTrue(
                finder.measure(plane, usable, within, around).problem().contains("nothing usable"));
        assertThrows(
                IllegalArgumentException.class,
                () -> finder.measure(new float[7], null, within, around));
        assertThrows(
                IllegalArgumentException.class,
                () -> finder.measure(plane, null, Region.ellipseMillimetres(0, 90, 1, 1), around));
        assertThrows(IllegalArgumentException.class, () -> new InclusionOutline(LINEAR, GRID, -1));
    }

    /**
     * One cylinder, stiffer and brighter than what surrounds it, measured in the strain image and
     * in the echo picture: both sizes against the true one and against each other.
     */
    @Test
    void sizeInStrainAgainstSizeInEcho() {
        ScanGeometry geometry = ScanGeometry.linear(90, 1500, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        double radius = 5e-3;
        Phantom phantom =
                Phantom.builder()
                        .geometry(geometry)
                        .sampleType(SampleType.FLOAT32)
                        .inclusion(Inclusion.cylinder(0, 14e-3, radius, 4))
                        .press(0, 0.01)
                        .build();
        Region within = Region.ellipseMillimetres(0, 14, 3, 3);
        Region beside = Region.ellipseMillimetres(9.5, 14, 2.5, 3);

        // Four times the echo inside: 12 dB.
        float[] samples = new float[90 * 1500];
        RfFrame frame = RfFrame.of(geometry, samples);
        phantom.read(0, frame);
        for (int i = 0; i < samples.length; i++) {
            double x = geometry.x(i / 1500, 0);
            double z = geometry.depthOfSample(i % 1500);
            samples[i] *= Math.hypot(x, z - 14e-3) < radius ? 4 : 1;
        }
        EchoPicture echo = new EchoPicture(PictureConfig.DEFAULTS, geometry, Workers.sequential());
        echo.update(frame);
        InclusionSize inEcho =
                new InclusionOutline(geometry, echo.grid(), 0.8e-3)
                        .measure(echo.levels(), null, within, beside);

        RowGrid grid = new RowGrid(130, 1e-3, 0.2e-3);
        FieldLayout layout = StrainImages.field(geometry, grid);
        StrainEstimator estimator = StrainImages.estimator(layout);
        StrainImage strain = estimator.newImage();
        estimator.estimate(
                StrainImages.displaced(
                        layout, phantom.truth(0, 1, grid).axial(), 1e-6, 1e-6, new Random(2)),
                strain);
        InclusionSize inStrain =
                new InclusionOutline(geometry, grid, 0.5e-3)
                        .measure(strain.axial(), strain.trusted(), within, beside);

        System.out.printf(
                Locale.ROOT,
                "true diameter 10 mm: in strain %.2f mm (%.2f x %.2f), in echo %.2f mm (%.2f x"
                        + " %.2f), ratio %.3f%n",
                inStrain.equivalentDiameter() * 1e3,
                inStrain.longAxis() * 1e3,
                inStrain.shortAxis() * 1e3,
                inEcho.equivalentDiameter() * 1e3,
                inEcho.longAxis() * 1e3,
                inEcho.shortAxis() * 1e3,
                inStrain.over(inEcho));
        assertEquals(10e-3, inStrain.equivalentDiameter(), 0.5e-3);
        assertEquals(10e-3, inEcho.equivalentDiameter(), 0.5e-3);
        assertEquals(1, inStrain.over(inEcho), 0.07);
        assertTrue(inStrain.longAxis() / inStrain.shortAxis() < 1.1);
    }
}
