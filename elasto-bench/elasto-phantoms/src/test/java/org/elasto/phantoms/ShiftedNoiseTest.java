package org.elasto.phantoms;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.transform.DftNormalization;
import org.apache.commons.math3.transform.FastFourierTransformer;
import org.apache.commons.math3.transform.TransformType;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.junit.jupiter.api.Test;

class ShiftedNoiseTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(40, 2048, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private static Complex[] spectrum(RfFrame frame, int line) {
        float[] x = new float[2048];
        frame.readLine(line, x, 0);
        double[] windowed = new double[2048];
        for (int i = 0; i < 2048; i++) {
            windowed[i] = x[i] * Math.pow(Math.sin(Math.PI * i / 2048), 2);
        }
        return new FastFourierTransformer(DftNormalization.STANDARD)
                .transform(windowed, TransformType.FORWARD);
    }

    @Test
    void theBandIsFlatAndNothingElse() {
        RfFrame frame =
                new ShiftedNoise(GEOMETRY, 0.6, Double.POSITIVE_INFINITY, 1).make(0, 4).reference();
        double[] power = new double[1024];
        for (int line = 0; line < 40; line++) {
            Complex[] s = spectrum(frame, line);
            for (int k = 0; k < 1024; k++) {
                power[k] += Math.pow(s[k].abs(), 2);
            }
        }
        double low = mean(power, 5.4e6, 6.8e6);
        double middle = mean(power, 6.8e6, 8.2e6);
        double high = mean(power, 8.2e6, 9.6e6);
        // About 71 bins of 40 lines, the window making neighbours alike: relative error 0.03.
        assertEquals(1, low / middle, 0.12);
        assertEquals(1, high / middle, 0.12);
        assertTrue(mean(power, 0, 5.0e6) < 1e-6 * middle);
        assertTrue(mean(power, 10.0e6, 20e6) < 1e-6 * middle);
        float[] all = PhantomEchoTest.samples(frame);
        double sum = 0;
        for (float v : all) {
            sum += (double) v * v;
        }
        // 40 lines of 51.2 us and 4.5 MHz are 9200 independent values.
        assertEquals(1000, Math.sqrt(sum / all.length), 1000 * 4 / Math.sqrt(2 * 9200));
    }

    private static double mean(double[] power, double from, double to) {
        double sum = 0;
        int n = 0;
        for (int k = (int) Math.ceil(from / 40e6 * 2048); k < to / 40e6 * 2048; k++) {
            sum += power[k];
            n++;
        }
        return sum / n;
    }

    /** Delay from the phase of the cross-spectrum of windows of a long stretch. */
    @Test
    void theShiftIsExact() {
        for (double displacement : new double[] {0, 3.3e-6, -7e-6, 0.4e-6}) {
            ShiftedNoise.Pair pair =
                    new ShiftedNoise(GEOMETRY, 0.6, Double.POSITIVE_INFINITY, 1)
                            .make(displacement, 9);
            double top = 0;
            double bottom = 0;
            for (int line = 0; line < 40; line++) {
                Complex[] a = spectrum(pair.reference(), line);
                Complex[] b = spectrum(pair.moved(), line);
                for (int k = 270; k < 500; k++) {
                    Complex cross = a[k].conjugate().multiply(b[k]);
                    double f = k * 40e6 / 2048;
                    top -= cross.abs() * f * cross.getArgument();
                    bottom += cross.abs() * f * f * 2 * Math.PI;
                }
            }
            assertEquals(
                    displacement, top / bottom * 1540 / 2, 2e-9 + 1e-4 * Math.abs(displacement));
        }
    }

    @Test
    void noiseAndCorrelationAreAsStated() {
        double n = 9200;
        for (double[] c :
                new double[][] {
                    {10, 1}, {2, 1}, {Double.POSITIVE_INFINITY, 0.9}, {5, 0.8}, {3, 0}
                }) {
            ShiftedNoise.Pair pair = new ShiftedNoise(GEOMETRY, 0.6, c[0], c[1]).make(0, 17);
            double expected = c[1] / (1 + 1 / (c[0] * c[0]));
            double found =
                    PhantomEchoTest.correlation(
                            PhantomEchoTest.samples(pair.reference()),
                            PhantomEchoTest.samples(pair.moved()));
            // Standard error of a correlation coefficient of n pairs: (1 - r^2) / sqrt(n).
            assertEquals(expected, found, 4 * (1 - expected * expected) / Math.sqrt(n));
        }
    }

    @Test
    void badArgumentsAreRefused() {
        assertThrows(IllegalArgumentException.class, () -> new ShiftedNoise(GEOMETRY, 0, 1, 1));
        assertThrows(IllegalArgumentException.class, () -> new ShiftedNoise(GEOMETRY, 1.9, -1, 1));
        assertThrows(IllegalArgumentException.class, () -> new ShiftedNoise(GEOMETRY, 0.5, 1, 1.1));
        ScanGeometry slow = ScanGeometry.linear(4, 2048, 17e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> new ShiftedNoise(slow, 0.6, 1, 1))
                        .getMessage();
        assertTrue(message.contains("half the sampling frequency"), message);
        assertThrows(
                IllegalArgumentException.class,
                () -> new ShiftedNoise(GEOMETRY, 0.5, 1, 1).make(Double.NaN, 1));
    }
}
