package org.elasto.tracking.correlation;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.elasto.api.ScanGeometry;
import org.junit.jupiter.api.Test;

/** Correlation against SciPy on a committed vector, and the spline against known curves. */
class LineCorrelatorTest {

    private static final ScanGeometry LINE =
            ScanGeometry.linear(1, 512, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    @Test
    void correlationIsThatOfSciPy() throws IOException {
        LineCorrelator correlator = new LineCorrelator(LINE, 49, Peak.SPLINE);
        float[] a = null;
        float[] b = null;
        int compared = 0;
        for (String line : reference()) {
            String[] words = line.split(" ");
            if (words[0].equals("a")) {
                a = numbers(words);
            } else if (words[0].equals("b")) {
                b = numbers(words);
                correlator.load(a, b);
            } else if (words[0].equals("window")) {
                int middle = Integer.parseInt(words[1]);
                for (int lag = -6; lag <= 6; lag++) {
                    double expected = Double.parseDouble(words[lag + 8]);
                    assertEquals(
                            expected,
                            correlator.correlation(middle, lag),
                            2e-6,
                            "window " + middle + ", lag " + lag);
                    compared++;
                }
            }
        }
        assertEquals(65, compared);
    }

    @Property(seed = "43", tries = 200)
    void splineFindsThePeakOfABandLimitedCurve(
            @ForAll @DoubleRange(min = -0.5, max = 0.5) double offset,
            @ForAll @DoubleRange(min = 0.15, max = 0.22) double frequency) {
        double[] samples = new double[2 * QuinticSpline.SIDE + 1];
        for (int k = -QuinticSpline.SIDE; k <= QuinticSpline.SIDE; k++) {
            double x = k - offset;
            // The shape of the correlation of a pulse of 50 % bandwidth.
            samples[k + QuinticSpline.SIDE] =
                    Math.cos(2 * Math.PI * frequency * x) * Math.exp(-0.02 * x * x);
        }
        assertEquals(offset, new QuinticSpline().maximum(samples, 0), 0.004);
    }

    @Test
    void whatDoesNotFitIntoTheLineIsUnknown() {
        LineCorrelator correlator = new LineCorrelator(LINE, 49, Peak.PARABOLA);
        float[] zeros = new float[512];
        correlator.load(zeros, zeros);
        assertTrue(Double.isNaN(correlator.displacement(30, 0)));
        assertTrue(Double.isNaN(correlator.displacement(100, 500)));
        assertEquals(0, correlator.correlation(200, 0));
    }

    private static float[] numbers(String[] words) {
        float[] values = new float[words.length - 1];
        for (int i = 0; i < values.length; i++) {
            values[i] = Float.parseFloat(words[i + 1]);
        }
        return values;
    }

    private static List<String> reference() throws IOException {
        try (BufferedReader in =
                new BufferedReader(
                        new InputStreamReader(
                                LineCorrelatorTest.class.getResourceAsStream(
                                        "/correlation/reference.txt"),
                                StandardCharsets.UTF_8))) {
            return in.lines().toList();
        }
    }
}
