package org.elasto.tracking.lattice;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.junit.jupiter.api.Test;

/** Tracking of every so manieth line. */
class LineStepTest {

    /** What lies between is not looked at: it may be flawed, or anything. */
    @Test
    void linesBetweenAreNotConverted() {
        ScanGeometry geometry = ScanGeometry.linear(32, 900, 40e6, 7.5e6, 1540, 0, 3e-4, 50);
        float[] samples = noise(geometry);
        DisplacementField clean =
                track(geometry, 4, RfFrame.of(geometry, samples), RfFrame.of(geometry, samples));
        float[] spoilt = samples.clone();
        for (int line = 0; line < 32; line++) {
            if (line % 4 != 1) {
                Arrays.fill(spoilt, line * 900, (line + 1) * 900, Float.NaN);
            }
        }
        DisplacementField field =
                track(geometry, 4, RfFrame.of(geometry, spoilt), RfFrame.of(geometry, spoilt));
        assertArrayEquals(clean.axial(), field.axial());
    }

    @Test
    void lateralDisplacementNeedsEveryLine() {
        ScanGeometry geometry = ScanGeometry.linear(32, 900, 40e6, 7.5e6, 1540, 0, 3e-4, 50);
        IllegalArgumentException refusal =
                assertThrows(
                        IllegalArgumentException.class,
                        () ->
                                Catalogue.create(
                                        Catalogue.displacementEstimators().get("lattice-phase"),
                                        "line-step=2",
                                        geometry,
                                        Workers.sequential()));
        assertTrue(
                refusal.getMessage()
                        .contains(
                                "'line-step' is 2 while 'lateral-search-range' is 9.0E-4 m;"
                                        + " lateral displacement needs every line"),
                refusal.getMessage());
    }

    private static DisplacementField track(
            ScanGeometry geometry, int step, RfFrame first, RfFrame second) {
        DisplacementEstimator estimator =
                Catalogue.create(
                        Catalogue.displacementEstimators().get("axial-lattice-phase"),
                        "line-step=" + step,
                        geometry,
                        Workers.sequential());
        DisplacementField field = estimator.newField();
        estimator.estimate(first, second, field);
        return field;
    }

    private static float[] noise(ScanGeometry geometry) {
        Random random = new Random(5);
        float[] x = new float[geometry.lines() * geometry.samples()];
        for (int i = 0; i < x.length; i++) {
            x[i] = (float) random.nextGaussian();
        }
        return x;
    }
}
