package org.elasto.tracking.lattice;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
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
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Lines between those that are tracked. */
class LineStepTest {

    /** Numbers of lines that do and do not end with one that is tracked. */
    @ParameterizedTest
    @CsvSource({"2, 33", "2, 32", "2, 1", "3, 33", "3, 34", "4, 32", "4, 33", "4, 3"})
    void linesBetweenLieOnTheStraightLineBetweenThoseBeside(int step, int lines) {
        ScanGeometry geometry = ScanGeometry.linear(lines, 900, 40e6, 7.5e6, 1540, 0, 3e-4, 50);
        RfFrame first = RfFrame.of(geometry, noise(geometry));
        // Some lines of the second frame are of other tissue, so that they stay unknown.
        float[] samples = noise(geometry);
        Random random = new Random(7);
        for (int i = 10 * 900; i < Math.min(lines, 18) * 900; i++) {
            samples[i] = (float) random.nextGaussian();
        }
        DisplacementField field = track(geometry, step, first, RfFrame.of(geometry, samples));

        int rows = field.layout().grid().rows();
        int tracked = (lines - 1) % step / 2;
        int last = tracked + (lines - 1 - tracked) / step * step;
        int known = 0;
        for (int line = 0; line < lines; line++) {
            int before =
                    Math.max(tracked, Math.min(last, line - Math.floorMod(line - tracked, step)));
            int after = Math.max(tracked, Math.min(last, before + (line > before ? step : 0)));
            float share = (line - before) / (float) step;
            share = line < tracked || line > last ? 0 : share;
            for (int row = 0; row < rows; row++) {
                int at = line * rows + row;
                int a = before * rows + row;
                int b = after * rows + row;
                known += Float.isNaN(field.axial()[at]) ? 0 : 1;
                assertBetween(field.axial(), a, b, share, at);
                assertBetween(field.axialDeviation(), a, b, share, at);
                boolean unknown = Float.isNaN(field.axial()[at]);
                assertEquals(unknown, field.correlation()[at] == 0, "at " + at);
            }
        }
        assertTrue(known > 0.3 * lines * rows, "knows " + known);
        assertFalse(lines > 18 && known == lines * rows, "knows all of what is unlike");
    }

    private static void assertBetween(float[] x, int a, int b, float share, int at) {
        assertEquals((1 - share) * x[a] + share * x[b], x[at], 0f, "at " + at);
    }

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
