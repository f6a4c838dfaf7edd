package org.elasto.compare;

import java.util.ArrayList;
import java.util.List;
import org.elasto.api.ScanGeometry;
import org.elasto.phantoms.Bone;
import org.elasto.phantoms.LostContact;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.motion.SlidingBlocks;

/**
 * One condition under which estimators are compared: a phantom whose frames 0 and 1 are tracked.
 *
 * @param group what is varied, such as {@code strain}
 * @param value how much of it, for the table and the axis of a plot
 * @param unit unit of the value
 * @param scene makes the phantom for a seed
 * @param slipX lateral place of a slip plane along the lines (m), NaN for none
 * @param slipZ depth of a slip plane across the lines (m), NaN for none
 */
record Condition(String group, double value, String unit, Scene scene, double slipX, double slipZ) {

    /** Furnishes a phantom. */
    interface Scene {
        void furnish(Phantom.Builder builder);
    }

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(128, 2337, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    private static final double SLIP_DEPTH = 22e-3;

    private Condition(String group, double value, String unit, Scene scene) {
        this(group, value, unit, scene, Double.NaN, Double.NaN);
    }

    Phantom phantom(long seed) {
        Phantom.Builder builder = Phantom.builder().geometry(GEOMETRY).seed(seed);
        scene.furnish(builder);
        return builder.build();
    }

    String label() {
        return group + " " + (value == Math.rint(value) ? "" + (long) value : "" + value) + unit;
    }

    /** The grid of conditions. Noise is 30 dB below the echo at 15 mm unless it is what varies. */
    static List<Condition> all() {
        List<Condition> all = new ArrayList<>();
        for (double strain : new double[] {0.05, 0.1, 0.2, 0.5, 1, 2.5, 5}) {
            all.add(
                    new Condition(
                            "strain",
                            strain,
                            " %",
                            b -> b.press(0, strain / 100).noise(30, 15e-3)));
        }
        for (double snr : new double[] {40, 30, 20, 10, 0}) {
            all.add(new Condition("noise", snr, " dB", b -> b.press(0, 0.003).noise(snr, 15e-3)));
        }
        for (double correlation : new double[] {1, 0.99, 0.97, 0.95, 0.9}) {
            all.add(
                    new Condition(
                            "correlation",
                            correlation,
                            "",
                            b ->
                                    b.press(0, 0.003)
                                            .sliceDrift(0, 1 - correlation)
                                            .noise(30, 15e-3)));
        }
        for (double drift : new double[] {50, 100, 200, 400}) {
            all.add(
                    new Condition(
                            "drift",
                            drift,
                            " um",
                            b -> b.press(0, 0.003).drift(0, drift * 1e-6).noise(20, 15e-3)));
        }
        for (double jump : new double[] {0.2, 0.6}) {
            all.add(
                    new Condition(
                            "slip along",
                            jump,
                            " mm",
                            b ->
                                    b.press(0, 0.003)
                                            .motion(
                                                    "slip",
                                                    new SlidingBlocks(
                                                            SlidingBlocks.Plane.VERTICAL, 0),
                                                    0,
                                                    jump * 1e-3)
                                            .noise(30, 15e-3),
                            0,
                            Double.NaN));
            all.add(
                    new Condition(
                            "slip across",
                            jump,
                            " mm",
                            b ->
                                    b.press(0, 0.003)
                                            .motion(
                                                    "slip",
                                                    new SlidingBlocks(
                                                            SlidingBlocks.Plane.HORIZONTAL,
                                                            SLIP_DEPTH),
                                                    0,
                                                    jump * 1e-3)
                                            .noise(30, 15e-3),
                            Double.NaN,
                            SLIP_DEPTH));
        }
        all.add(
                new Condition(
                        "bone",
                        30,
                        " mm",
                        b ->
                                b.press(0, 0.003)
                                        .bone(new Bone(30e-3, -1, 1, 80e-3, 30e-6, 20))
                                        .echoLevel(2000)
                                        .noise(30, 15e-3)));
        all.add(
                new Condition(
                        "lift-off",
                        43,
                        " lines",
                        b ->
                                b.press(0, 0.003)
                                        .lostContact(new LostContact(0, 1, 85, Integer.MAX_VALUE))
                                        .noise(30, 15e-3)));
        all.add(
                new Condition(
                        "air",
                        128,
                        " lines",
                        b ->
                                b.press(0, 0.003)
                                        .lostContact(LostContact.allLines(0, 1))
                                        .noise(30, 15e-3)));
        all.add(
                new Condition(
                        "other slice",
                        1.5,
                        "",
                        b -> b.press(0, 0.003).sliceDrift(0, 1.5).noise(30, 15e-3)));
        return all;
    }
}
