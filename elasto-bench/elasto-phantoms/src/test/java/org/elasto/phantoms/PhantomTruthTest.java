package org.elasto.phantoms;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import org.elasto.api.LineLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.junit.jupiter.api.Test;

/** Truth against moving material points one by one. */
class PhantomTruthTest {

    private static final RowGrid GRID = new RowGrid(90, 1e-3, 0.5e-3);

    private static Phantom small(String scene) {
        PhantomConfig d = PhantomConfig.DEFAULTS;
        return Phantoms.builder(
                        scene,
                        new PhantomConfig(
                                8,
                                0.0035,
                                d.snr(),
                                1,
                                32,
                                2337,
                                1.2e-3,
                                40e6,
                                d.centreFrequency(),
                                50,
                                0.01,
                                5e-6,
                                d.sampleType()))
                .scatterersPerCell(0.01)
                .build();
    }

    /**
     * Material points are thrown at random and moved to both frames; the truth asked at the place
     * in the first must lead to the place in the second. The planes are compared at grid points, by
     * looking for the material point there by bisection-free brute force: a walk of ever smaller
     * steps, which knows nothing of gradients.
     */
    @Test
    void truthAgreesWithMovingPoints() {
        SplittableRandom random = new SplittableRandom(3);
        for (String scene : Phantoms.names()) {
            Phantom phantom = small(scene);
            double[] u = new double[2];
            double[] a = new double[2];
            double[] b = new double[2];
            int[][] pairs = {{0, 1}, {2, 3}, {5, 2}, {4, 4}};
            for (int[] pair : pairs) {
                for (int n = 0; n < 200; n++) {
                    double x = (random.nextDouble() - 0.5) * 40e-3;
                    double z = random.nextDouble() * 45e-3;
                    phantom.place(pair[0], x, z, a);
                    phantom.place(pair[1], x, z, b);
                    assertTrue(phantom.displacement(pair[0], pair[1], a[0], a[1], u), scene);
                    assertEquals(b[0] - a[0], u[0], 2e-12, scene);
                    assertEquals(b[1] - a[1], u[1], 2e-12, scene);
                }
                Truth truth = phantom.truth(pair[0], pair[1], GRID);
                for (int n = 0; n < 60; n++) {
                    int line = random.nextInt(32);
                    int row = random.nextInt(GRID.rows());
                    int i = line * GRID.rows() + row;
                    double depth = GRID.depth(row);
                    double x = phantom.geometry().x(line, depth);
                    double z = phantom.geometry().z(line, depth);
                    walkTo(phantom, pair[0], x, z, a);
                    phantom.place(pair[1], a[0], a[1], b);
                    double across = b[0] - x;
                    double along = b[1] - z;
                    if (phantom.geometry().layout() instanceof LineLayout.Convex convex) {
                        // Polar coordinates about the centre of curvature.
                        double r = convex.radius();
                        double turned = Math.atan2(b[0], b[1] + r) - Math.atan2(x, z + r);
                        across = (r + depth) * turned;
                        along = Math.hypot(b[0], b[1] + r) - Math.hypot(x, z + r);
                    }
                    assertEquals(
                            across, truth.lateral()[i], 2e-11 + 1e-7 * Math.abs(across), scene);
                    assertEquals(along, truth.axial()[i], 2e-11 + 1e-7 * Math.abs(along), scene);
                }
            }
        }
    }

    /** Material point at a place, by fixed-point steps. */
    private static void walkTo(Phantom phantom, int frame, double x, double z, double[] rest) {
        double[] at = new double[2];
        rest[0] = x;
        rest[1] = z;
        for (int step = 0; step < 200; step++) {
            phantom.place(frame, rest[0], rest[1], at);
            rest[0] += x - at[0];
            rest[1] += z - at[1];
        }
    }

    /** Strain against differences of the displacement at close places in the first frame. */
    @Test
    void strainIsTheDerivativeOfTheDisplacement() {
        int compared = 0;
        for (String scene : Phantoms.names()) {
            Phantom phantom = small(scene);
            Truth truth = phantom.truth(2, 4, GRID);
            double[] up = new double[2];
            double[] down = new double[2];
            double h = 1e-6;
            for (int line = 0; line < 32; line += 3) {
                for (int row = 0; row < GRID.rows(); row += 4) {
                    ScanGeometry g = phantom.geometry();
                    double depth = GRID.depth(row);
                    double x = g.x(line, depth);
                    double z = g.z(line, depth);
                    double slope =
                            (moved(phantom, line, depth + h, down)
                                            - moved(phantom, line, depth - h, up))
                                    / (2 * h);
                    if (nearEdge(phantom, x, z)) {
                        continue;
                    }
                    assertEquals(
                            slope,
                            truth.axialStrain()[line * GRID.rows() + row],
                            1e-7,
                            scene + " at " + x + ", " + z);
                    compared++;
                }
            }
        }
        assertTrue(compared > 2000, "compared " + compared);
    }

    /** Change of depth along the line through the tissue. */
    private static double moved(Phantom phantom, int line, double depth, double[] u) {
        ScanGeometry g = phantom.geometry();
        double x = g.x(line, depth);
        double z = g.z(line, depth);
        phantom.displacement(2, 4, x, z, u);
        return g.depthAt(x + u[0], z + u[1]) - g.depthAt(x, z);
    }

    /**
     * A convex probe sees the strain along its beams: for an even press of incompressible tissue in
     * plane strain, by Mohr's circle, {@code -e cos(2 angle)}; in a stiff cylinder the same share
     * of that (Eshelby 1957).
     */
    @Test
    void convexBeamsSeeStrainAlongThemselves() {
        Phantom phantom = Phantoms.of("convex-stiff-cylinder");
        double depth = 26e-3;
        Truth truth = phantom.truth(0, 1, new RowGrid(2, depth - 20e-3, 20e-3));
        ScanGeometry g = phantom.geometry();
        assertEquals(-0.003 / 2, truth.axialStrain()[2 * 64 + 1], 2e-5);
        Phantom even = Phantom.builder().geometry(g).scatterersPerCell(0.01).press(0, 1e-4).build();
        Truth evenTruth = even.truth(0, 1, new RowGrid(1, depth, 1e-3));
        for (int line = 0; line < g.lines(); line++) {
            double expected = -1e-4 * Math.cos(2 * g.angleOfLine(line));
            assertEquals(expected, evenTruth.axialStrain()[line], 3e-8, "line " + line);
        }
    }

    /** Where strain jumps, the two sides of the difference lie in different bodies. */
    private static boolean nearEdge(Phantom phantom, double x, double z) {
        double near = 0.2e-3;
        for (Inclusion inclusion : phantom.inclusions()) {
            double r = Math.hypot(x - inclusion.x(), z - inclusion.z());
            if (Math.abs(r - inclusion.visibleRadius()) < 2 * near) {
                return true;
            }
        }
        if (phantom.name().equals("layers")) {
            for (double boundary : new double[] {12e-3, 18e-3, 28e-3}) {
                if (Math.abs(z - boundary) < 2 * near) {
                    return true;
                }
            }
        }
        return false;
    }

    @Test
    void strainInsideAnInclusionIsItsShare() {
        Phantom phantom =
                Phantom.builder()
                        .scatterersPerCell(0.01)
                        .inclusion(Inclusion.cylinder(0, 20e-3, 4e-3, 3))
                        .press(0, 0.004)
                        .build();
        Truth truth = phantom.truth(0, 1, new RowGrid(1, 20e-3, 1e-3));
        assertEquals(-0.002, truth.axialStrain()[64], 1e-9);
        assertEquals(0.5, phantom.inclusions().get(0).insideShare(), 0);
        assertTrue(truth.axial()[64] < 0, "a press moves tissue towards the probe");
    }

    @Test
    void whatCannotBeSeenIsMasked() {
        Phantom bone = small("soft-inclusion-above-bone");
        Truth truth = bone.truth(0, 1, GRID);
        for (int line = 0; line < 32; line++) {
            double x = bone.geometry().x(line, 0);
            for (int row = 0; row < GRID.rows(); row++) {
                double z = GRID.depth(row);
                double surface = bone.bones().get(0).surface(x);
                if (z > 2e-3 && Math.abs(z - surface) > 1e-6) {
                    assertEquals(
                            z < surface, truth.visible()[line * GRID.rows() + row], x + ", " + z);
                }
            }
        }
        Phantom air = small("lost-contact");
        int middle = 20;
        int left = 2 * GRID.rows() + middle;
        int right = 30 * GRID.rows() + middle;
        assertTrue(air.truth(0, 1, GRID).visible()[right]);
        assertTrue(air.truth(3, 4, GRID).visible()[left]);
        assertFalse(air.truth(3, 4, GRID).visible()[right]);
        assertFalse(air.truth(4, 3, GRID).visible()[right]);
        assertFalse(air.truth(4, 5, GRID).visible()[left]);
        assertTrue(air.truth(6, 7, GRID).visible()[left]);
        Phantom gone = Phantom.builder().scatterersPerCell(0.01).sliceDrift(0, 0.4, 0.6).build();
        assertTrue(gone.truth(0, 1, GRID).visible()[left]);
        assertFalse(gone.truth(0, 2, GRID).visible()[left]);
        assertEquals(0.4, gone.truth(0, 2, GRID).correlation(), 1e-12);
    }
}
