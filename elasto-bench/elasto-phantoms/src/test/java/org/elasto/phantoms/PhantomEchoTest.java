package org.elasto.phantoms;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.apache.commons.math3.transform.DftNormalization;
import org.apache.commons.math3.transform.FastFourierTransformer;
import org.apache.commons.math3.transform.TransformType;
import org.elasto.api.LineLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.signal.BasebandConverter;
import org.elasto.phantoms.motion.Shift;
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
            converter.convert(frame, line, iq[0], iq[1], line * converter.length(), null, 0);
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
        double rayleigh = Math.sqrt(Math.PI / (4 - Math.PI));
        double tolerance = 4 * 1.36 / Math.sqrt(2 * cells(phantom, 1400));
        assertEquals(rayleigh, meanOverDeviation(20), tolerance);
        // One scatterer a cell is no speckle: the check can tell.
        assertTrue(meanOverDeviation(1) < rayleigh - 2 * tolerance);
    }

    /** What the phantom reports as scatterers a cell, counted in a known area. */
    @Test
    void scatterersAreAsManyAsReported() {
        Phantom phantom = clean().build();
        double cell =
                phantom.axialResolution() * phantom.lateralResolution(GEOMETRY.lastDepth() / 2);
        int inside = 0;
        Scatterers all = phantom.scatterers();
        for (int s = 0; s < all.count(); s++) {
            boolean within = Math.abs(all.x[s]) < 9e-3 && all.z[s] > 2e-3 && all.z[s] < 28e-3;
            inside += within ? 1 : 0;
        }
        double area = 18e-3 * 26e-3;
        double expected = phantom.scatterersPerCell() * area / cell;
        assertEquals(expected, inside, 4 * Math.sqrt(expected));
    }

    /** Independent cells in some samples of all lines of one frame. */
    private static double cells(Phantom phantom, int samples) {
        double width = phantom.lateralResolution(15e-3);
        return 64
                * 0.3e-3
                * samples
                * GEOMETRY.sampleSpacing()
                / (phantom.axialResolution() * width);
    }

    /** Of the envelope of two frames of still tissue. */
    private static double meanOverDeviation(double perCell) {
        int n = GEOMETRY.samples();
        double sum = 0;
        double squares = 0;
        int count = 0;
        for (int seed = 1; seed <= 2; seed++) {
            float[][] iq =
                    baseband(
                            clean().attenuation(0, 0).scatterersPerCell(perCell).seed(seed).build(),
                            0);
            for (int line = 0; line < 64; line++) {
                for (int i = 100; i < n - 100; i++) {
                    double e = Math.hypot(iq[0][line * n + i], iq[1][line * n + i]);
                    sum += e;
                    squares += e * e;
                    count++;
                }
            }
        }
        double mean = sum / count;
        return mean / Math.sqrt(squares / count - mean * mean);
    }

    /**
     * Stiff inclusions are as bright as their surroundings: mean envelope inside over that outside
     * at the same depths. Of M cells the mean has a relative standard error of 1 / (1.913 sqrt(M)).
     */
    @Test
    void inclusionsDoNotShowInTheEcho() {
        Inclusion inclusion = Inclusion.cylinder(0, 15e-3, 6e-3, 5);
        double[] sum = new double[2];
        int[] count = new int[2];
        int n = GEOMETRY.samples();
        int seeds = 3;
        Phantom phantom = null;
        for (int seed = 1; seed <= seeds; seed++) {
            phantom = clean().inclusion(inclusion).press(0, 0.01).seed(seed).build();
            float[][] iq = baseband(phantom, 1);
            for (int line = 0; line < 64; line++) {
                for (int i = 0; i < n; i++) {
                    double z = GEOMETRY.depthOfSample(i);
                    double r = Math.hypot(GEOMETRY.x(line, z), z - 15e-3);
                    if (Math.abs(z - 15e-3) < 4e-3 && Math.abs(r - 6e-3) > 0.5e-3) {
                        int k = r < 6e-3 ? 0 : 1;
                        sum[k] += Math.hypot(iq[0][line * n + i], iq[1][line * n + i]);
                        count[k]++;
                    }
                }
            }
        }
        double perCell = cells(phantom, n) / (64.0 * n);
        double error = Math.sqrt(1 / (count[0] * perCell) + 1 / (count[1] * perCell)) / 1.913;
        assertTrue(count[0] > 10000 && count[1] > 10000);
        assertTrue(error < 0.03, "error " + error);
        assertEquals(1, sum[0] / count[0] / (sum[1] / count[1]), 4 * error);
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

    /** Far and near, where lines and beam are wide and narrow, in the middle and at the sides. */
    @Test
    void echoesOfAConvexProbeHaveTheStatedLevelToo() {
        ScanGeometry g = ScanGeometry.convex(48, 1600, 40e6, 5e6, 1540, 0, 20e-3, 0.02, 50);
        double[] sums = new double[4];
        double[] expected = new double[4];
        double[] cells = new double[4];
        for (int seed = 1; seed <= 3; seed++) {
            Phantom phantom = clean().geometry(g).attenuation(5e-5, 40).seed(seed).build();
            float[] all = read(phantom, 0);
            for (int i = 0; i < all.length; i++) {
                int line = i / 1600;
                double depth = g.depthOfSample(i % 1600);
                int part = (line < 12 || line >= 36 ? 2 : 0) + (depth > 15e-3 ? 1 : 0);
                sums[part] += (double) all[i] * all[i];
                expected[part] += Math.pow(phantom.echoLevel(depth), 2);
                cells[part] +=
                        g.lineSpacing(depth)
                                * g.sampleSpacing()
                                / (phantom.axialResolution() * phantom.lateralResolution(depth));
            }
        }
        for (int part = 0; part < 4; part++) {
            double error = 1 / Math.sqrt(cells[part]);
            assertTrue(error < 0.05, "error " + error);
            assertEquals(1, sums[part] / expected[part], 4 * error, "part " + part);
        }
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
                        .motion("shift", Shift.inDepth(), 0, spacing, 0.37 * spacing, 1e-6)
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
        var fft = new FastFourierTransformer(DftNormalization.STANDARD);
        for (int line = 0; line < GEOMETRY.lines(); line++) {
            double[] x = new double[n];
            double[] y = new double[n];
            for (int i = 0; i < n; i++) {
                double hann = Math.pow(Math.sin(Math.PI * i / n), 2);
                x[i] = hann * a[line * GEOMETRY.samples() + 300 + i];
                y[i] = hann * b[line * GEOMETRY.samples() + 300 + i];
            }
            var fx = fft.transform(x, TransformType.FORWARD);
            var fy = fft.transform(y, TransformType.FORWARD);
            for (int k = n / 10; k < n / 4; k++) {
                var cross = fx[k].conjugate().multiply(fy[k]);
                double f = k * fs / n;
                top += cross.abs() * f * -cross.getArgument();
                bottom += cross.abs() * f * f * 2 * Math.PI;
            }
        }
        return top / bottom * GEOMETRY.soundSpeed() / 2;
    }

    @Test
    void thePulseTableIsExact() {
        Pulse pulse = new Pulse(GEOMETRY, 0.6);
        float[] taps = new float[pulse.taps()];
        double worst = 0;
        for (int p = 0; p < 1000; p++) {
            double fraction = p / 1000.0;
            pulse.sample(fraction, taps);
            for (int j = 0; j < taps.length; j++) {
                double t = (j - pulse.half() - fraction) / 40e6;
                worst = Math.max(worst, Math.abs(taps[j] - pulse.at(t)));
            }
        }
        assertTrue(20 * Math.log10(worst) < -100, "error " + 20 * Math.log10(worst) + " dB");
    }

    /** The fast rendering against the model as its documentation has it, written out plainly. */
    @Test
    void renderingAgreesWithThePlainModel() {
        renderingAgrees(ScanGeometry.linear(11, 260, 40e6, 7.5e6, 1540, 18e-3, 0.3e-3, 50));
        renderingAgrees(ScanGeometry.convex(11, 260, 40e6, 7.5e6, 1540, 18e-3, 15e-3, 0.02, 50));
        renderingAgrees(ScanGeometry.convex(9, 260, 40e6, 7.5e6, 1540, 18e-3, 5e-3, 0.2, 50));
    }

    private static void renderingAgrees(ScanGeometry small) {
        Phantom phantom =
                Phantom.builder()
                        .geometry(small)
                        .sampleType(SampleType.FLOAT32)
                        .noise(Double.POSITIVE_INFINITY, 15e-3)
                        .attenuation(5e-5, 16)
                        .beam(25e-3, 3)
                        .inclusion(Inclusion.cylinder(0.3e-3, 20e-3, 1e-3, 4))
                        .press(0, 0.01)
                        .build();
        double[] expected = plain(phantom, small, 1);
        float[] found = read(phantom, 1);
        double worst = 0;
        double power = 0;
        for (int i = 0; i < found.length; i++) {
            worst = Math.max(worst, Math.abs(found[i] - expected[i]));
            power += expected[i] * expected[i] / found.length;
        }
        // Beams are cut off where they are 80 dB down, and several scatterers lie there.
        double level = 20 * Math.log10(worst / Math.sqrt(power));
        assertTrue(level < -72, "largest difference " + level + " dB");
    }

    private static double[] plain(Phantom phantom, ScanGeometry g, int frame) {
        double lambda = 1540 / 7.5e6;
        double fwhm = 2 * Math.sqrt(2 * Math.log(2));
        double sigmaT = 1 / (2 * Math.PI * 0.6 * 7.5e6 / fwhm);
        double sigmaFocus = 0.886 * lambda * 3 / fwhm;
        double rayleigh = Math.PI * 4 * sigmaFocus * sigmaFocus / lambda;
        double cell = sigmaT * 1540 / 2 * fwhm * 0.886 * lambda * 3;
        double w = 2 * Math.PI * 7.5e6 * sigmaT;
        double energy = 770 * sigmaT * Math.sqrt(Math.PI) / 2 * (1 + Math.exp(-w * w));
        double strength = 5000 / Math.sqrt(20 / cell * energy);
        double[] out = new double[g.lines() * g.samples()];
        Scatterers all = phantom.scatterers();
        double[] at = new double[2];
        for (int s = 0; s < all.count(); s++) {
            phantom.place(frame, all.x[s], all.z[s], at);
            double depth = at[1];
            double angle = 0;
            double fan = 1;
            if (g.layout() instanceof LineLayout.Convex convex) {
                depth = Math.hypot(at[0], at[1] + convex.radius()) - convex.radius();
                angle = Math.atan2(at[0], at[1] + convex.radius());
                fan = (convex.radius() + depth) / (convex.radius() + 25e-3);
            }
            double spread = 1 + Math.pow((depth - 25e-3) / rayleigh, 2);
            double sigma = fan * sigmaFocus * Math.sqrt(2 * spread / (1 + spread));
            double loss = 0.5 * 7.5 * 2 * depth * 100;
            double a =
                    all.amplitude[s]
                            * strength
                            / Math.sqrt(sigma * Math.sqrt(Math.PI))
                            * Math.pow(10, -loss / 20);
            for (int l = 0; l < g.lines(); l++) {
                double x = (l - 5) * 0.3e-3 - at[0];
                if (g.layout() instanceof LineLayout.Convex convex) {
                    double off = (l - (g.lines() - 1) / 2.0) * convex.angularPitch() - angle;
                    x = (convex.radius() + depth) * off;
                }
                double b = a * Math.exp(-x * x / (2 * sigma * sigma));
                for (int i = 0; i < g.samples(); i++) {
                    double z = 18e-3 + i * 1540 / 80e6;
                    double t = 2 * (z - depth) / 1540;
                    if (Math.abs(t) > 7 * sigmaT) {
                        continue;
                    }
                    double gain = Math.pow(10, Math.min(16, 7.5 * z * 100) / 20);
                    out[l * g.samples() + i] +=
                            gain
                                    * b
                                    * Math.exp(-t * t / (2 * sigmaT * sigmaT))
                                    * Math.cos(2 * Math.PI * 7.5e6 * t);
                }
            }
        }
        return out;
    }

    /** Full width at -6 dB of the mean spectrum, by Commons Math's transform. */
    @Test
    void theBandwidthIsAsStated() {
        float[] x = read(clean().attenuation(0, 0).bandwidth(0.5).build(), 0);
        double[] power = new double[512];
        var fft = new FastFourierTransformer(DftNormalization.STANDARD);
        for (int line = 0; line < 64; line++) {
            double[] part = new double[1024];
            for (int i = 0; i < 1024; i++) {
                part[i] = x[line * 1600 + 300 + i] * Math.pow(Math.sin(Math.PI * i / 1024), 2);
            }
            var s = fft.transform(part, TransformType.FORWARD);
            for (int k = 0; k < 512; k++) {
                power[k] += Math.pow(s[k].abs(), 2);
            }
        }
        // A Gaussian's moments: deviation of the power spectrum is that of amplitude over sqrt(2).
        double sum = 0;
        double first = 0;
        double second = 0;
        for (int k = 0; k < 512; k++) {
            sum += power[k];
            first += power[k] * k;
            second += power[k] * k * k;
        }
        double bin = 40e6 / 1024;
        double centre = first / sum * bin;
        double deviation = Math.sqrt(second / sum - Math.pow(first / sum, 2)) * bin * Math.sqrt(2);
        // Some 64 * 0.3 / 0.7 lines of 60 independent frequencies: errors of 2 %.
        assertEquals(7.5e6, centre, 0.04 * 7.5e6 * 0.5);
        assertEquals(0.5, deviation * 2.3548 / 7.5e6, 0.04);
    }

    @Test
    void boneIsBrightAndNothingIsHeardBeyond() {
        Bone bone = new Bone(15e-3, -20e-3, 0, 100e-3, 20e-6, 20);
        Phantom phantom =
                Phantom.builder()
                        .geometry(GEOMETRY)
                        .bone(bone)
                        .echoLevel(1000)
                        .sampleType(SampleType.FLOAT32)
                        .build();
        float[] x = read(phantom, 0);
        int n = GEOMETRY.samples();
        double tissue = 0;
        double beyond = 0;
        double open = 0;
        double highest = 0;
        for (int line = 2; line < 25; line++) {
            int surface = (int) GEOMETRY.sampleAtDepth(bone.surface(GEOMETRY.x(line, 0)));
            double top = 0;
            for (int i = 0; i < 300; i++) {
                tissue += Math.pow(x[line * n + surface - 400 + i], 2) / (23 * 300);
                beyond += Math.pow(x[line * n + surface + 60 + i], 2) / (23 * 300);
                open += Math.pow(x[(line + 36) * n + surface + 60 + i], 2) / (23 * 300);
                top = Math.max(top, Math.abs(x[line * n + surface - 40 + i % 80]));
            }
            highest += top / 23;
        }
        assertEquals(phantom.noiseLevel(), Math.sqrt(beyond), 0.05 * phantom.noiseLevel());
        assertEquals(1, open / tissue, 0.5);
        // "About": roughness breaks some of the height up.
        double brightness = 20 * Math.log10(highest / Math.sqrt(tissue));
        assertTrue(brightness > 12 && brightness < 26, "brightness " + brightness);
    }

    @Test
    void lostContactLeavesRingDownAndNoise() {
        Phantom phantom =
                Phantom.builder()
                        .geometry(GEOMETRY)
                        .frames(3)
                        .lostContact(new LostContact(1, 1, 40, 1000))
                        .sampleType(SampleType.FLOAT32)
                        .build();
        float[] x = read(phantom, 1);
        float[] before = read(phantom, 0);
        int n = GEOMETRY.samples();
        double air = 0;
        double tissue = 0;
        double near = 0;
        for (int i = 0; i < 1000; i++) {
            air += Math.pow(x[50 * n + 400 + i], 2) / 1000;
            tissue += Math.pow(x[20 * n + 400 + i], 2) / 1000;
            near = Math.max(near, Math.abs(x[50 * n + i % 60]));
        }
        assertEquals(
                phantom.noiseLevel(), Math.sqrt(air), 4 * phantom.noiseLevel() / Math.sqrt(2000));
        assertTrue(tissue > 100 * air);
        assertTrue(near > 10000, "ring-down " + near);
        for (int i = 0; i < n; i++) {
            assertEquals(before[20 * n + i], x[20 * n + i], 10 * phantom.noiseLevel());
        }
    }

    /**
     * Plain cross-correlation of single lines, where it is well within its limits, comes near the
     * bound that the phantom states, and not below it by more than chance.
     */
    @Test
    void theStatedBoundIsWhatCrossCorrelationReaches() {
        double shift = 2e-6;
        double squares = 0;
        int count = 0;
        int length = 120;
        double bound = 0;
        for (int seed = 1; seed <= 2; seed++) {
            Phantom phantom =
                    Phantom.builder()
                            .geometry(GEOMETRY)
                            .sampleType(SampleType.FLOAT32)
                            .attenuation(0, 0)
                            .noise(12, 15e-3)
                            .seed(seed)
                            .motion("shift", Shift.inDepth(), 0, shift)
                            .build();
            bound = phantom.displacementBound(0, 1, 15e-3, length * GEOMETRY.sampleSpacing());
            float[] a = read(phantom, 0);
            float[] b = read(phantom, 1);
            float[] x = new float[GEOMETRY.samples()];
            float[] y = new float[GEOMETRY.samples()];
            for (int line = 0; line < 64; line += 2) {
                System.arraycopy(a, line * x.length, x, 0, x.length);
                System.arraycopy(b, line * x.length, y, 0, x.length);
                for (int from = 100; from + length < 1500; from += length + 20) {
                    double delay = CramerRaoBoundTest.bestDelay(x, y, from, length);
                    squares += Math.pow(delay * GEOMETRY.sampleSpacing() - shift, 2);
                    count++;
                }
            }
        }
        double ratio = Math.sqrt(squares / count) / bound;
        // Correlation weights all frequencies alike, where the best estimate would not.
        assertTrue(ratio > 0.9 && ratio < 1.5, "ratio " + ratio + " of " + count);
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
