package org.elasto.tracking.lattice;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.function.Consumer;
import java.util.stream.Stream;
import org.elasto.api.ScanGeometry;
import org.elasto.phantoms.Bone;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.motion.SlidingBlocks;
import org.elasto.tracking.TrackingErrors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Errors over their predicted deviations where different things make the errors, on phantoms whose
 * motion is known exactly, and what is claimed next to bone and beyond the range.
 */
class PredictedDeviationTest {

    private static final double MARGIN = 1.5e-3;

    private static Phantom.Builder builder(long seed, double frequency) {
        ScanGeometry geometry = ScanGeometry.linear(96, 1560, 40e6, frequency, 1540, 0, 0.3e-3, 50);
        return Phantom.builder().geometry(geometry).seed(seed).noise(30, 15e-3);
    }

    private static Arguments condition(
            String name, double frequency, double slip, Consumer<Phantom.Builder> scene) {
        return Arguments.of(name, frequency, slip, scene);
    }

    private static SlidingBlocks plane(double x) {
        return new SlidingBlocks(SlidingBlocks.Plane.VERTICAL, x);
    }

    static Stream<Arguments> conditions() {
        double none = Double.NaN;
        return Stream.of(
                condition("hardly any strain", 7.5e6, none, b -> b.press(0, 5e-4)),
                condition("noise", 7.5e6, none, b -> b.press(0, 3e-3).noise(15, 15e-3)),
                condition("strain", 7.5e6, none, b -> b.press(0, 0.01)),
                condition("much strain", 7.5e6, none, b -> b.press(0, 0.02)),
                condition("other tissue", 7.5e6, none, b -> b.press(0, 3e-3).sliceDrift(0, 0.04)),
                condition(
                        "slip of 0.2 mm",
                        7.5e6,
                        0,
                        b -> b.press(0, 3e-3).motion("slip", plane(0), 0, 0.2e-3)),
                condition(
                        "slip of 0.4 mm",
                        7.5e6,
                        0.5e-3,
                        b -> b.press(0, 3e-3).motion("slip", plane(0.5e-3), 0, 0.4e-3)),
                condition(
                        "bone",
                        7.5e6,
                        none,
                        b ->
                                b.press(0, 3e-3)
                                        .echoLevel(1000)
                                        .bone(new Bone(22e-3, -1, 1, 80e-3, 30e-6, 20))),
                condition("hardly any strain, 5 MHz", 5e6, none, b -> b.press(0, 5e-4)),
                condition("noise, 10 MHz", 10e6, none, b -> b.press(0, 3e-3).noise(20, 15e-3)));
    }

    @ParameterizedTest(name = "{0}")
    @MethodSource("conditions")
    void deviationsAreThoseSeen(
            String name, double frequency, double slip, Consumer<Phantom.Builder> scene) {
        double squares = 0;
        int phantoms = 2;
        for (int seed = 41; seed < 41 + phantoms; seed++) {
            Phantom.Builder builder = builder(seed, frequency);
            scene.accept(builder);
            Phantom phantom = builder.build();
            ScanGeometry geometry = phantom.geometry();
            TrackingErrors errors =
                    TrackingErrors.of(
                            "lattice-phase",
                            phantom,
                            (line, depth) ->
                                    depth > MARGIN
                                            && depth < geometry.lastDepth() - MARGIN
                                            && !(Math.abs(geometry.x(line, depth) - slip)
                                                    < 1.2e-3));
            assertTrue(errors.known > 4000 && errors.gross == 0, errors.toString());
            assertTrue(errors.known > 0.98 * errors.visible, errors.toString());
            squares += Math.pow(errors.axialOverPredicted(), 2) / phantoms;
        }
        double seen = Math.sqrt(squares);
        System.out.printf("%s: errors over predicted %.2f%n", name, seen);
        assertTrue(seen > 0.85 && seen < 1.2, name + ": " + seen);
    }

    /** Windows before a reflector as bright as in a scan of bone show its motion, not their own. */
    @Test
    void tissueBeforeBoneIsKnownAndItsDeviationToo() {
        double bone = 20e-3;
        Phantom phantom =
                builder(42, 5e6)
                        .press(0, 4e-3)
                        .echoLevel(1000)
                        .bone(new Bone(bone, -1, 1, Double.POSITIVE_INFINITY, 30e-6, 30))
                        .build();
        TrackingErrors errors =
                TrackingErrors.of(
                        "lattice-phase",
                        phantom,
                        (line, depth) -> depth > bone - 3e-3 && depth < bone - 0.5e-3);
        assertTrue(errors.visible > 500, errors.toString());
        assertTrue(errors.known > 0.9 * errors.visible, errors.toString());
        assertTrue(errors.gross == 0, errors.toString());
        assertTrue(errors.axialOverPredicted() < 1.5, errors.toString());
    }

    /** Motion leaves the range of the search, and windows no longer match within themselves. */
    @Test
    void whatMatchesByChanceIsNotKnown() {
        int known = 0;
        int gross = 0;
        int visible = 0;
        for (int seed = 43; seed < 46; seed++) {
            Phantom phantom = builder(seed, 7.5e6).press(0, 0.05).build();
            TrackingErrors errors =
                    TrackingErrors.of("lattice-phase", phantom, (line, depth) -> depth > MARGIN);
            visible += errors.visible;
            known += errors.known;
            gross += errors.gross;
        }
        String seen = known + " of " + visible + " known, " + gross + " gross";
        assertTrue(visible > 20000 && gross <= 0.005 * known, seen);
    }
}
