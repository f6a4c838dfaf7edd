package org.elasto.phantoms.motion;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;

class MotionTest {

    private static double[] displacement(Motion motion, double x, double z, double load) {
        double[] u = new double[2];
        motion.addDisplacement(x, z, load, u);
        return u;
    }

    @Provide
    Arbitrary<Motion> motions() {
        Motion press = UniformPress.planeStrain();
        Motion cylinder = new CylinderDisturbance(-2e-3, 20e-3, 4e-3, 3);
        return Arbitraries.of(
                press,
                new UniformPress(0.3, 2e-3),
                cylinder,
                new SphereDisturbance(1e-3, 15e-3, 5e-3, 0.3, 0),
                new SphereDisturbance(1e-3, 15e-3, 5e-3, 7, 2e-3),
                new Layers(new double[] {10e-3, 22e-3}, new double[] {1, 4, 0.5}),
                new SlidingBlocks(SlidingBlocks.Plane.HORIZONTAL, 18e-3),
                new SlidingBlocks(SlidingBlocks.Plane.VERTICAL, 1e-3),
                Motion.sum(press, cylinder),
                Motion.sum(press, cylinder).then(Shift.sideways()).then(press));
    }

    /** Gradients against fourth-order differences; jumps are lines that no sample falls upon. */
    @Property(tries = 300, seed = "11")
    void gradientsAreTheDerivativesOfTheDisplacement(
            @ForAll("motions") Motion motion,
            @ForAll @DoubleRange(min = -20, max = 20) double xMm,
            @ForAll @DoubleRange(min = -1, max = 45) double zMm) {
        // Off the rounded places that jqwik likes, where some motions jump.
        double x = xMm * 1e-3 + 1.7e-6;
        double z = zMm * 1e-3 + 1.3e-6;
        double load = 0.02;
        double h = 2e-7;
        double[] g = new double[4];
        double[] before = new double[4];
        double[] after = new double[4];
        motion.addGradient(x, z, load, g);
        motion.addGradient(x - 3 * h, z - 3 * h, load, before);
        motion.addGradient(x + 3 * h, z + 3 * h, load, after);
        for (int j = 0; j < 2; j++) {
            for (int i = 0; i < 2; i++) {
                double dx = j == 0 ? h : 0;
                double dz = j == 1 ? h : 0;
                double d =
                        (8 * displacement(motion, x + dx, z + dz, load)[i]
                                        - 8 * displacement(motion, x - dx, z - dz, load)[i]
                                        - displacement(motion, x + 2 * dx, z + 2 * dz, load)[i]
                                        + displacement(motion, x - 2 * dx, z - 2 * dz, load)[i])
                                / (12 * h);
                int k = 2 * i + j;
                boolean smooth = Math.abs(after[k] - before[k]) < 1e-4;
                if (smooth && Math.abs(d) < 1) {
                    assertEquals(g[k], d, 2e-8, motion + " gradient " + k);
                }
            }
        }
    }

    @Test
    void aPressLeavesTheProbesFaceAndGrowsWithDepth() {
        double[] top = displacement(UniformPress.planeStrain(), 5e-3, 0, 0.01);
        assertEquals(0, top[1], 0);
        double[] u = displacement(UniformPress.planeStrain(), 5e-3, 30e-3, 0.01);
        assertEquals(-0.3e-3, u[1], 1e-18);
        assertEquals(0.05e-3, u[0], 1e-18);
        assertEquals(0, displacement(UniformPress.axialOnly(), 5e-3, 30e-3, 0.01)[0], 0);
    }

    @Test
    void layersCarryTheSameStress() {
        Layers layers = new Layers(new double[] {10e-3, 22e-3}, new double[] {1, 4, 0.5});
        assertEquals(-0.01 * 10e-3, displacement(layers, 0, 10e-3, 0.01)[1], 1e-18);
        assertEquals(-0.01 * (10e-3 + 3e-3), displacement(layers, 0, 22e-3, 0.01)[1], 1e-18);
        assertEquals(
                -0.01 * (10e-3 + 3e-3 + 16e-3), displacement(layers, 0, 30e-3, 0.01)[1], 1e-18);
        String rising =
                assertThrows(
                                IllegalArgumentException.class,
                                () ->
                                        new Layers(
                                                new double[] {10e-3, 5e-3}, new double[] {1, 2, 3}))
                        .getMessage();
        assertTrue(rising.contains("must rise"), rising);
        assertThrows(
                IllegalArgumentException.class,
                () -> new Layers(new double[] {10e-3}, new double[] {1}));
    }

    @Test
    void blocksSlideAlongTheirPlaneOnly() {
        Motion level = new SlidingBlocks(SlidingBlocks.Plane.HORIZONTAL, 20e-3);
        Motion upright = new SlidingBlocks(SlidingBlocks.Plane.VERTICAL, 0);
        assertEquals(0, displacement(level, 0, 19e-3, 1e-4)[0], 0);
        assertEquals(1e-4, displacement(level, 0, 21e-3, 1e-4)[0], 0);
        assertEquals(0, displacement(level, 0, 21e-3, 1e-4)[1], 0);
        assertEquals(0, displacement(upright, -1e-3, 21e-3, 1e-4)[1], 0);
        assertEquals(1e-4, displacement(upright, 1e-3, 21e-3, 1e-4)[1], 0);
    }

    @Test
    void aChainLeadsOnFromWhereTheFirstHasLed() {
        Motion press = UniformPress.planeStrain();
        double[] u = displacement(press.then(press), 0, 10e-3, 0.1);
        assertEquals(-(1 - 0.9 * 0.9) * 10e-3, u[1], 1e-17);
    }

    @Test
    void badMotionsAreRefused() {
        assertThrows(IllegalArgumentException.class, () -> new CylinderDisturbance(0, 0, 0, 3));
        assertThrows(IllegalArgumentException.class, () -> new CylinderDisturbance(0, 0, 1e-3, -1));
        assertThrows(IllegalArgumentException.class, () -> new SphereDisturbance(0, 0, 1e-3, 0, 0));
        assertThrows(IllegalArgumentException.class, () -> new UniformPress(1.5, 0));
        assertThrows(IllegalArgumentException.class, () -> new Shift(Double.NaN, 0));
        assertThrows(IllegalArgumentException.class, () -> new HandMotion(0, 0.01, 0, 0, 1));
    }

    @Test
    void aHandPressesAboutAsOftenAsSaidAndSmoothly() {
        double rate = 1.5;
        HandMotion hand = new HandMotion(rate, 0.03, 0.15, 0.1e-3, 42);
        double[] strain = hand.strains(500, 50);
        double[] sway = hand.sways(500, 50);
        assertEquals(0, strain[0], 0);
        assertEquals(0, sway[0], 0);
        int peaks = 0;
        double highest = 0;
        double furthest = 0;
        for (int i = 1; i < 499; i++) {
            peaks +=
                    strain[i] > strain[i - 1] && strain[i] >= strain[i + 1] && strain[i] > 0.015
                            ? 1
                            : 0;
            highest = Math.max(highest, strain[i]);
            furthest = Math.max(furthest, Math.abs(sway[i]));
            // Slope of the regular motion, and what height and timing may add to it.
            double most =
                    0.03 * Math.PI * rate / 50 * 1.15 * (1 + 0.15 * 0.473)
                            + 0.03 * 0.15 * 2 * Math.PI * rate * 0.473 / 50;
            assertTrue(Math.abs(strain[i] - strain[i - 1]) <= most);
        }
        assertEquals(15, peaks, 1);
        assertTrue(highest > 0.025 && highest <= 0.03 * 1.15, "highest " + highest);
        assertTrue(furthest > 0.02e-3 && furthest <= 0.1e-3, "furthest " + furthest);
        assertEquals(
                strain[123], new HandMotion(rate, 0.03, 0.15, 0.1e-3, 42).strainAt(123 / 50.0));
        assertTrue(
                strain[123] != new HandMotion(rate, 0.03, 0.15, 0.1e-3, 43).strainAt(123 / 50.0));
    }
}
