package org.elasto.phantoms;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.signal.BasebandConverter;
import org.junit.jupiter.api.Test;

/** The echo model: speckle, levels, noise, and exact sub-sample places. */
class PhantomEchoTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(64, 1600, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private static Phantom.Builder clean() {
        return Phantom.builder()
                .geometry(GEOMETRY)
                .sampleType(SampleType.FLOAT32)
                .noise(Double.POSITIVE_INFINITY, 15e-3);
    }

    static float[] samples(RfFrame frame) {
        int n = frame.geometry().samples();
        float[] all = new float[frame.geometry().lines() * n];
        for (int line = 0; line < frame.geometry().lines(); line++) {
            frame.readLine(line, all, line * n);
        }
        return all;
    }

    static float[] read(Phantom phantom, int index) {
        RfFrame frame = phantom.newFrame();
        phantom.read(index, frame);
        return samples(frame);
    }

    /** Magnitude and phase of the baseband, without decimation. */
    private static float[][] baseband(Phantom phantom, int index) {
        RfFrame frame = phantom.newFrame();
        phantom.read(index, frame);
        ScanGeometry g = phantom.geometry();
        BasebandConverter converter = new BasebandConverter(g, g.centreFrequency() * 1.8, 1);
        float[][] iq = new float[2][g.lines() * converter.length()];
        for (int line = 0; line < g.lines(); line++) {
            converter.convert(frame, line, iq[0], iq[1], 0, null, line * converter.length());
        }
        return iq;
    }

    /**
     * Rayleigh statistics, 1.913: Burckhardt, IEEE Trans Sonics Ultrason 25(1):1-6, 1978. Over a
     * region of M independent cells mean / deviation has a standard error of 1.36 / sqrt(M) (4000
     * draws of 2000 Rayleigh numbers by NumPy). Four of those are allowed.
     */
    @Test
    void speckleIsFullyDeveloped() {
        Phantom phantom = clean().attenuation(0, 0).build();
        assertTrue(phantom.scatterersPerCell() > 10, "cell " + phantom.scatterersPerCell());
        double area = 64 * 0.3e-3 * GEOMETRY.lastDepth();
        double measured =
                phantom.scattererCount()
                        / area
                        * phantom.axialResolution()
                        * phantom.lateralResolution(GEOMETRY.lastDepth() / 2);
        // The tissue is a little larger than the frame, so that this is an upper bound.
        assertTrue(
                measured > phantom.scatterersPerCell()
                        && measured < 1.6 * phantom.scatterersPerCell());
        float[][] iq = baseband(phantom, 0);
        int n = GEOMETRY.samples();
        double sum = 0;
        double squares = 0;
        int count = 0;
        for (int line = 0; line < 64; line++) {
            for (int i = 100; i < n - 100; i++) {
                double e = Math.hypot(iq[0][line * n + i], iq[1][line * n + i]);
                sum += e;
                squares += e * e;
                count++;
            }
        }
        double mean = sum / count;
        double ratio = mean / Math.sqrt(squares / count - mean * mean);
        double cells =
                64
                        * 0.3e-3
                        * 1400
                        * GEOMETRY.sampleSpacing()
                        / (phantom.axialResolution() * phantom.lateralResolution(15e-3));
        assertEquals(Math.sqrt(Math.PI / (4 - Math.PI)), ratio, 4 * 1.36 / Math.sqrt(cells));
        // Few scatterers do not give Rayleigh speckle, or the check would be worth nothing.
    }

    @Test
    void echoesHaveTheStatedLevelAtEveryDepth() {
        Phantom phantom = clean().attenuation(5e-5, 15).build();
        double[] power = new double[GEOMETRY.samples()];
        int repeats = 4;
        for (int seed = 1; seed <= repeats; seed++) {
            float[] all = read(clean().attenuation(5e-5, 15).seed(seed).build(), 0);
            for (int line = 0; line < 64; line++) {
                for (int i = 0; i < power.length; i++) {
                    double v = all[line * power.length + i];
                    power[i] += v * v / (64 * repeats);
                }
            }
        }
        for (int from = 0; from < power.length; from += 400) {
            double mean = 0;
            double expected = 0;
            for (int i = from; i < from + 400; i++) {
                mean += power[i] / 400;
                expected += Math.pow(phantom.echoLevel(GEOMETRY.depthOfSample(i)), 2) / 400;
            }
            // Power of M independent cells has a relative standard error of 1 / sqrt(M).
            double cells =
                    repeats
                            * 64
                            * 0.3e-3
                            * 400
                            * GEOMETRY.sampleSpacing()
                            / (phantom.axialResolution() * phantom.lateralResolution(15e-3));
            assertEquals(1, mean / expected, 4 / Math.sqrt(cells), "from sample " + from);
        }
        assertEquals(phantom.echoLevel(1e-3), phantom.echoLevel(15e-3), 1e-6);
        // Beyond 20 mm the gain of 15 dB is used up, and 7.5 dB a centimetre are lost.
        assertEquals(
                -7.5, 20 * Math.log10(phantom.echoLevel(30e-3) / phantom.echoLevel(20e-3)), 1e-6);
    }

    @Test
    void noiseHasTheStatedLevelAndIsWhite() {
        Phantom noisy =
                Phantom.builder()
                        .geometry(GEOMETRY)
                        .sampleType(SampleType.FLOAT32)
                        .noise(20, 15e-3)
                        .frames(2)
                        .build();
        Phantom clean = clean().frames(2).build();
        float[] a = read(noisy, 1);
        float[] b = read(clean, 1);
        float[] other = read(noisy, 0);
        double power = 0;
        double lag = 0;
        double cross = 0;
        for (int i = 0; i < a.length; i++) {
            double v = a[i] - b[i];
            power += v * v;
            lag += i > 0 ? v * (a[i - 1] - b[i - 1]) : 0;
            cross += v * (other[i] - b[i]);
        }
        double n = a.length;
        assertEquals(20, noisy.signalToNoise(15e-3), 1e-9);
        // Relative standard error of a standard deviation: 1 / sqrt(2 n).
        assertEquals(
                noisy.noiseLevel(),
                Math.sqrt(power / n),
                4 * noisy.noiseLevel() / Math.sqrt(2 * n));
        assertEquals(0, lag / power, 4 / Math.sqrt(n));
        assertEquals(0, cross / power, 4 / Math.sqrt(n));
        double echo = 0;
        for (float v : b) {
            echo += (double) v * v;
        }
        assertEquals(20, 10 * Math.log10(echo / power), 0.5);
    }

    @Test
    void integersAreTheRoundedFloats() {
        Phantom floats =
                Phantom.builder().geometry(GEOMETRY).sampleType(SampleType.FLOAT32).build();
        Phantom integers = Phantom.builder().geometry(GEOMETRY).build();
        float[] a = read(floats, 0);
        float[] b = read(integers, 0);
        for (int i = 0; i < a.length; i++) {
            assertEquals(Math.max(-32768, Math.min(32767, Math.round(a[i]))), b[i]);
        }
    }

    /**
     * A whole-sample shift must give the same samples; places of half a sample are just as exact.
     */
    @Test
    void shiftsAreExact() {
        double spacing = GEOMETRY.sampleSpacing();
        Phantom phantom =
                clean().attenuation(0, 0)
                        .beam(15e-3, 4)
                        .motion(
                                "shift",
                                org.elasto.phantoms.motion.Shift.inDepth(),
                                0,
                                spacing,
                                0.37 * spacing,
                                1e-6)
                        .build();
        int n = GEOMETRY.samples();
        float[] still = read(phantom, 0);
        float[] whole = read(phantom, 1);
        double worst = 0;
        for (int line = 0; line < 64; line++) {
            for (int i = 0; i < n - 1; i++) {
                worst = Math.max(worst, Math.abs(still[line * n + i] - whole[line * n + i + 1]));
            }
        }
        // The beam widens slowly with depth, or this would be zero but for rounding.
        assertTrue(worst < 5000 * 1e-2, "worst " + worst);
        double[] wanted = {0, spacing, 0.37 * spacing, 1e-6};
        for (int frame = 1; frame < 4; frame++) {
            assertEquals(wanted[frame], phaseShift(phantom, frame), 2e-9, "frame " + frame);
        }
    }

    /**
     * Shift between a frame and frame 0 by the slope of the cross-spectrum's phase, from a discrete
     * Fourier transform (Commons Math), weighted with the cross-spectrum's magnitude and frequency.
     */
    private static double phaseShift(Phantom phantom, int frame) {
        int n = 1024;
        float[] a = read(phantom, 0);
        float[] b = read(phantom, frame);
        double top = 0;
        double bottom = 0;
        double fs = GEOMETRY.samplingFrequency();
        var fft =
                new org.apache.commons.math3.transform.FastFourierTransformer(
                        org.apache.commons.math3.transform.DftNormalization.STANDARD);
        for (int line = 0; line < GEOMETRY.lines(); line++) {
            double[] x = new double[n];
            double[] y = new double[n];
            for (int i = 0; i < n; i++) {
                double hann = Math.pow(Math.sin(Math.PI * i / n), 2);
                x[i] = hann * a[line * GEOMETRY.samples() + 300 + i];
                y[i] = hann * b[line * GEOMETRY.samples() + 300 + i];
            }
            var fx = fft.transform(x, org.apache.commons.math3.transform.TransformType.FORWARD);
            var fy = fft.transform(y, org.apache.commons.math3.transform.TransformType.FORWARD);
            for (int k = n / 10; k < n / 4; k++) {
                var cross = fx[k].conjugate().multiply(fy[k]);
                double f = k * fs / n;
                top += cross.abs() * f * -cross.getArgument();
                bottom += cross.abs() * f * f * 2 * Math.PI;
            }
        }
        return top / bottom * GEOMETRY.soundSpeed() / 2;
    }

    /** The fast rendering against the model written out plainly, sample by sample. */
    @Test
    void renderingAgreesWithThePlainModel() {
        ScanGeometry small = ScanGeometry.linear(11, 300, 40e6, 7.5e6, 1540, 2e-3, 0.3e-3, 50);
        Pulse pulse = new Pulse(small, 0.6);
        float[] taps = new float[pulse.taps()];
        double worst = 0;
        for (int p = 0; p < 1000; p++) {
            double fraction = p / 1000.0;
            pulse.sample(fraction, taps);
            for (int j = 0; j < taps.length; j++) {
                worst =
                        Math.max(
                                worst,
                                Math.abs(taps[j] - pulse.at((j - pulse.half() - fraction) / 40e6)));
            }
        }
        assertTrue(20 * Math.log10(worst) < -100, "table error " + 20 * Math.log10(worst) + " dB");
    }

    @Test
    void framesAreTheSameBitsInAnyOrderAndByAnyNumberOfWorkers() {
        PhantomConfig config = PhantomConfig.DEFAULTS;
        Phantom.Builder builder =
                Phantoms.builder("hand-motion", config)
                        .geometry(GEOMETRY)
                        .sliceDrift(0, 0.02, 0.04, 0.06, 0.08, 0.1, 0.12, 0.14);
        Phantom one = builder.build();
        float[] three = read(one, 3);
        float[] zero = read(one, 0);
        assertArrayEquals(three, read(one, 3));
        assertTrue(!Arrays.equals(three, zero));
        for (int n : new int[] {2, 5}) {
            try (Workers workers = Workers.threads(n)) {
                Phantom several = builder.workers(workers).build();
                assertArrayEquals(zero, read(several, 0));
                assertArrayEquals(three, read(several, 3));
            }
        }
    }

    /** Correlation of the echoes between frames falls by the share of scatterers replaced. */
    @Test
    void slicesDecorrelateAsStated() {
        double[] positions = {0, 0.1, 0.3, 0.75, 1.2, 0.1};
        Phantom phantom = clean().attenuation(0, 0).sliceDrift(positions).build();
        float[][] frames = new float[positions.length][];
        for (int i = 0; i < frames.length; i++) {
            frames[i] = read(phantom, i);
        }
        double cells =
                64
                        * 0.3e-3
                        * 1600
                        * GEOMETRY.sampleSpacing()
                        / (phantom.axialResolution() * phantom.lateralResolution(15e-3));
        for (int i = 0; i < frames.length; i++) {
            for (int j = 0; j < frames.length; j++) {
                double expected = Math.max(0, 1 - Math.abs(positions[i] - positions[j]));
                assertEquals(expected, phantom.correlation(i, j), 1e-12);
                // Standard error of a correlation coefficient of M pairs: (1 - r^2) / sqrt(M).
                assertEquals(
                        expected,
                        correlation(frames[i], frames[j]),
                        1e-6 + 4 / Math.sqrt(cells) * (1 - expected * expected));
            }
        }
        assertArrayEquals(frames[1], frames[5], "the slice that was there before");
    }

    static double correlation(float[] a, float[] b) {
        double ab = 0;
        double aa = 0;
        double bb = 0;
        for (int i = 0; i < a.length; i++) {
            ab += (double) a[i] * b[i];
            aa += (double) a[i] * a[i];
            bb += (double) b[i] * b[i];
        }
        return ab / Math.sqrt(aa * bb);
    }
}
