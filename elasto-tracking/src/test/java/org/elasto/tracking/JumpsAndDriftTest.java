package org.elasto.tracking;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.Truth;
import org.elasto.phantoms.motion.SlidingBlocks;
import org.elasto.phantoms.motion.UniformPress;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Estimators that give lateral displacement and claim to stand jumps, on scatterer phantoms whose
 * motion is known exactly: sideways drift, blocks that slide past each other, a strong press.
 */
class JumpsAndDriftTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(64, 1300, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    /** Margins in which tissue leaves the frame: depth (m) and lines. */
    private static final double MARGIN = 1.5e-3;

    private static final int SIDE = 4;

    /** Errors over the places that count. */
    private record Errors(
            int known, int unknown, int gross, double axial, double calibration, double lateral) {}

    private static DisplacementEstimator estimator(String name, Workers workers) {
        return Catalogue.create(
                Catalogue.displacementEstimators().get(name), "", GEOMETRY, workers);
    }

    private static Phantom.Builder builder(long seed, double snr) {
        return Phantom.builder().geometry(GEOMETRY).seed(seed).noise(snr, 12e-3);
    }

    private static DisplacementField track(Phantom phantom, DisplacementEstimator estimator) {
        RfFrame first = RfFrame.allocate(GEOMETRY, SampleType.FLOAT32);
        RfFrame second = RfFrame.allocate(GEOMETRY, SampleType.FLOAT32);
        phantom.read(0, first);
        phantom.read(1, second);
        DisplacementField field = estimator.newField();
        estimator.estimate(first, second, field);
        return field;
    }

    /** Errors of all places but those nearer than a distance to a lateral place. */
    private static Errors errors(Phantom phantom, DisplacementField field, double x, double near) {
        Truth truth = phantom.truth(0, 1, field.layout().grid());
        int known = 0;
        int unknown = 0;
        int gross = 0;
        double axial = 0;
        double relative = 0;
        double lateral = 0;
        for (int line = SIDE; line < field.lines() - SIDE; line++) {
            for (int row = 0; row < field.rows(); row++) {
                double depth = field.layout().grid().depth(row);
                if (depth < MARGIN
                        || depth > GEOMETRY.lastDepth() - MARGIN
                        || Math.abs(GEOMETRY.x(line, depth) - x) < near) {
                    continue;
                }
                int at = line * field.rows() + row;
                double u = field.axial()[at] - truth.axial()[at];
                double v = field.lateral()[at] - truth.lateral()[at];
                if (Double.isNaN(u)) {
                    unknown++;
                    continue;
                }
                known++;
                if (Math.abs(u) > GEOMETRY.wavelength() / 4) {
                    gross++;
                    continue;
                }
                axial += u * u;
                relative += u * u / (field.axialDeviation()[at] * field.axialDeviation()[at]);
                lateral += v * v;
            }
        }
        return new Errors(
                known,
                unknown,
                gross,
                Math.sqrt(axial / known),
                Math.sqrt(relative / known),
                Math.sqrt(lateral / known));
    }

    @ParameterizedTest
    @ValueSource(strings = {"dynamic-programming", "lattice-phase", "seed-growth"})
    void lateralDriftIsFoundWithinFifteenMicrometres(String name) {
        Phantom phantom = builder(21, 20).press(0, 0).drift(0, 100e-6).build();
        DisplacementField field = track(phantom, estimator(name, Workers.sequential()));
        Errors seen = errors(phantom, field, 0, 0);
        System.out.println("drift, " + name + " " + seen);
        assertTrue(seen.known > 3000 && seen.unknown < 0.002 * seen.known, seen.toString());
        assertTrue(seen.gross == 0 && seen.lateral < 15e-6, seen.toString());
        assertTrue(seen.calibration > 0.85 && seen.calibration < 1.2, seen.toString());
    }

    @ParameterizedTest
    @ValueSource(strings = {"dynamic-programming", "lattice-phase", "seed-growth"})
    void blocksThatSlidePastEachOtherStayApart(String name) {
        double plane = 0.4e-3;
        // 700 um are 3.4 wavelengths.
        Phantom phantom =
                builder(22, 30)
                        .press(0, 0.002)
                        .motion(
                                "sliding",
                                new SlidingBlocks(SlidingBlocks.Plane.VERTICAL, plane),
                                0,
                                700e-6)
                        .build();
        DisplacementField field = track(phantom, estimator(name, Workers.sequential()));
        Errors seen = errors(phantom, field, plane, 1.2e-3);
        System.out.println("sliding, " + name + " " + seen);
        assertTrue(seen.known > 3000 && seen.unknown < 0.01 * seen.known, seen.toString());
        assertTrue(seen.gross < 0.01 * seen.known, seen.toString());
        assertTrue(seen.axial < 1e-6, seen.toString());
    }

    @ParameterizedTest
    @ValueSource(strings = {"dynamic-programming", "seed-growth"})
    void aStrongPressIsFollowed(String name) {
        Phantom phantom =
                builder(23, 30).tissue(UniformPress.planeStrain()).press(0, 0.025).build();
        DisplacementField field = track(phantom, estimator(name, Workers.sequential()));
        Errors seen = errors(phantom, field, 0, 0);
        System.out.println("2.5 % strain, " + name + " " + seen);
        assertTrue(seen.known > 3000 && seen.unknown < 0.01 * seen.known, seen.toString());
        assertTrue(seen.gross == 0 && seen.axial < 0.3e-6, seen.toString());
        assertTrue(seen.lateral < 15e-6, seen.toString());
    }

    @ParameterizedTest
    @ValueSource(strings = {"dynamic-programming", "lattice-phase", "seed-growth"})
    void anyNumberOfWorkersGivesTheSameBits(String name) {
        Phantom phantom =
                builder(24, 15)
                        .press(0, 0.01)
                        .motion(
                                "sliding",
                                new SlidingBlocks(SlidingBlocks.Plane.VERTICAL, 2e-3),
                                0,
                                300e-6)
                        .build();
        DisplacementField one = track(phantom, estimator(name, Workers.sequential()));
        try (Workers workers = Workers.threads(3)) {
            DisplacementField three = track(phantom, estimator(name, workers));
            assertArrayEquals(one.axial(), three.axial());
            assertArrayEquals(one.lateral(), three.lateral());
            assertArrayEquals(one.axialDeviation(), three.axialDeviation());
            assertArrayEquals(one.lateralDeviation(), three.lateralDeviation());
            assertArrayEquals(one.correlation(), three.correlation());
        }
    }
}
