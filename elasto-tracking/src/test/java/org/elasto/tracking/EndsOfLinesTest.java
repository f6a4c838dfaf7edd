package org.elasto.tracking;

import static org.junit.jupiter.api.Assertions.assertTrue;

import org.elasto.api.ScanGeometry;
import org.elasto.phantoms.Phantom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The first 1.2 mm of the lines against 5 to 10 mm, on phantoms whose motion is known exactly. At
 * the transducer windows are cut in half, and no search has anything above its first place.
 */
class EndsOfLinesTest {

    /** By how much errors may be greater there, absolutely and against what is predicted. */
    @ParameterizedTest
    @CsvSource({
        "lattice-phase, 2, 1.2",
        "axial-lattice-phase, 2, 1.2",
        "dynamic-programming, 2, 2",
        "variational-flow, 2, 2.5",
        "coarse-to-fine-phase, 2, 1.5",
        "seed-growth, 5, 1.5"
    })
    void linesBeginAsWellAsTheyGoOn(String estimator, double times, double timesPredicted) {
        for (double strain : new double[] {3e-3, 0.01}) {
            Phantom phantom =
                    Phantom.builder()
                            .geometry(
                                    ScanGeometry.linear(96, 1560, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50))
                            .seed(43)
                            .noise(30, 15e-3)
                            .press(0, strain)
                            .build();
            TrackingErrors first =
                    TrackingErrors.of(estimator, phantom, (line, depth) -> depth < 1.2e-3);
            TrackingErrors middle =
                    TrackingErrors.of(
                            estimator, phantom, (line, depth) -> depth > 5e-3 && depth < 10e-3);
            String seen = "at the transducer: " + first + "; in the middle: " + middle;
            System.out.printf(
                    "%s, strain %s: errors %.2f times, over predicted %.2f times those below%n",
                    estimator,
                    strain,
                    first.axial() / middle.axial(),
                    first.axialOverPredicted() / middle.axialOverPredicted());
            assertTrue(first.known > 0.6 * first.visible && first.gross == 0, seen);
            assertTrue(first.axial() < times * middle.axial(), seen);
            assertTrue(
                    first.axialOverPredicted() < timesPredicted * middle.axialOverPredicted(),
                    seen);
        }
    }
}
