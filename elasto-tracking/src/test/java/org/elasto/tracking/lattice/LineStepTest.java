package org.elasto.tracking.lattice;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Lines between those that are tracked. */
class LineStepTest {

    /** Both estimators, and numbers of lines that do and do not end with one that is tracked. */
    @ParameterizedTest
    @CsvSource({
        "axial-lattice-phase, 33",
        "axial-lattice-phase, 32",
        "axial-lattice-phase, 1",
        "lattice-phase, 33",
        "lattice-phase, 32",
    })
    void linesBetweenAreTheMeanOfThoseBeside(String name, int lines) {
        ScanGeometry geometry = ScanGeometry.linear(lines, 900, 40e6, 7.5e6, 1540, 0, 3e-4, 50);
        RfFrame first = RfFrame.of(geometry, noise(geometry));
        // Some lines of the second frame are of other tissue, so that they stay unknown.
        float[] samples = noise(geometry);
        Random random = new Random(7);
        for (int i = 10 * 900; i < Math.min(lines, 18) * 900; i++) {
            samples[i] = (float) random.nextGaussian();
        }
        RfFrame second = RfFrame.of(geometry, samples);
        DisplacementEstimator estimator =
                Catalogue.create(
                        Catalogue.displacementEstimators().get(name),
                        "line-step=2",
                        geometry,
                        Workers.sequential());
        DisplacementField field = estimator.newField();
        estimator.estimate(first, second, field);

        int rows = field.layout().grid().rows();
        int known = 0;
        for (int line = 0; line < lines; line++) {
            for (int row = 0; row < rows; row++) {
                int at = line * rows + row;
                known += Float.isNaN(field.axial()[at]) ? 0 : 1;
                if (line % 2 == 1) {
                    int after = line + 1 < lines ? at + rows : at - rows;
                    assertMean(field.axial(), at - rows, after, at);
                    assertMean(field.axialDeviation(), at - rows, after, at);
                    boolean unknown = Float.isNaN(field.axial()[at]);
                    assertEquals(unknown, field.correlation()[at] == 0, name + " at " + at);
                    if (field.lateral() != null) {
                        assertMean(field.lateral(), at - rows, after, at);
                    }
                }
            }
        }
        assertTrue(known > 0.3 * lines * rows, name + " knows " + known);
        assertFalse(lines > 18 && known == lines * rows, name + " knows all of what is unlike");
    }

    private static void assertMean(float[] x, int a, int b, int at) {
        assertEquals(0.5f * (x[a] + x[b]), x[at], 0f, "at " + at);
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
