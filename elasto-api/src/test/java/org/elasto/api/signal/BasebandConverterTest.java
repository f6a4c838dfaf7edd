package org.elasto.api.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Scale;
import org.elasto.api.Allocation;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class BasebandConverterTest {

    private static final double FS = 40e6;
    private static final double FC = 7.5e6;

    /** The band of make_reference.py. */
    private static final double BANDWIDTH = 6e6;

    private static ScanGeometry geometry(int lines, int samples) {
        return ScanGeometry.linear(lines, samples, FS, FC, 1540, 0, 3e-4, 50);
    }

    /** One converted line. */
    private record Line(float[] re, float[] im, float[] flaws, boolean flawed) {}

    private static Line convert(BasebandConverter converter, RfFrame frame, int line) {
        int n = converter.length();
        float[] re = new float[n];
        float[] im = new float[n];
        float[] flaws = new float[n];
        boolean flawed = converter.convert(frame, line, re, im, 0, flaws, 0);
        return new Line(re, im, flaws, flawed);
    }

    private static Line convert(float[] x, double bandwidth, int decimation) {
        ScanGeometry g = geometry(1, x.length);
        return convert(new BasebandConverter(g, bandwidth, decimation), RfFrame.of(g, x), 0);
    }

    private static double[][] resource(String name) throws IOException {
        try (BufferedReader reader =
                new BufferedReader(
                        new InputStreamReader(
                                BasebandConverterTest.class.getResourceAsStream(name),
                                StandardCharsets.US_ASCII))) {
            return reader.lines()
                    .filter(line -> !line.startsWith("#"))
                    .map(line -> Arrays.stream(line.split(" ")).mapToDouble(Double::parseDouble))
                    .map(numbers -> numbers.toArray())
                    .toArray(double[][]::new);
        }
    }

    /**
     * Turned back up, the baseband is the analytic signal that SciPy computes
     * (scipy.signal.hilbert, resource made by make_reference.py) for noise within the band. The
     * filter is flat within 0.001 and lets 0.001 of the mirrored band through, so the error's RMS
     * is below 0.002 of the signal's RMS.
     */
    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3, 4, 5})
    void turnedBackUpItIsTheAnalyticSignal(int decimation) throws IOException {
        double[][] rows = resource("analytic-signal.txt");
        assertEquals(1024, rows.length);
        float[] x = new float[rows.length];
        for (int i = 0; i < x.length; i++) {
            x[i] = (float) rows[i][0];
        }
        Line y = convert(x, BANDWIDTH, decimation);
        int reach = new BasebandConverter(geometry(1, 1024), BANDWIDTH, decimation).reach();
        double error = 0;
        double power = 0;
        int compared = 0;
        for (int k = 0; k < y.re.length; k++) {
            int n = k * decimation;
            if (n < reach || n >= x.length - reach) {
                continue;
            }
            double angle = 2 * Math.PI * FC / FS * n;
            double re = y.re[k] * Math.cos(angle) - y.im[k] * Math.sin(angle);
            double im = y.re[k] * Math.sin(angle) + y.im[k] * Math.cos(angle);
            error += square(re - rows[n][1]) + square(im - rows[n][2]);
            power += square(rows[n][1]) + square(rows[n][2]);
            compared++;
        }
        assertTrue(compared >= (1024 - 2 * reach) / decimation - 1 && compared > 150);
        double relative = Math.sqrt(error / power);
        System.out.printf("decimation %d: relative RMS error %.2e%n", decimation, relative);
        assertTrue(relative < 0.0021, "relative RMS error " + relative);
    }

    private static double square(double v) {
        return v * v;
    }

    /** The low-pass is the one that SciPy designs: scipy.signal.kaiserord and firwin. */
    @Test
    void theLowPassIsSciPys() throws IOException {
        double[][] rows = resource("low-pass.txt");
        double[] h = lowPass(geometry(1, 1001), BANDWIDTH, 1);
        assertEquals(rows.length, h.length);
        for (int j = 0; j < h.length; j++) {
            // Taps are floats, the largest near 0.15.
            assertEquals(rows[j][0], h[j], 2e-8, "tap " + j);
        }
    }

    /** The taps, read off the answer to a single unit sample: y[k] = 2 h[n - k] exp(..n..). */
    private static double[] lowPass(ScanGeometry g, double bandwidth, int decimation) {
        return lowPass(g, new BasebandConverter(g, bandwidth, decimation));
    }

    private static double[] lowPass(ScanGeometry g, BasebandConverter converter) {
        int decimation = converter.decimation();
        int reach = converter.reach();
        double[] h = new double[2 * reach + 1];
        int middle = g.samples() / 2 / decimation;
        // With decimation, each of the D places of the unit sample shows every D-th tap.
        for (int p = 0; p < decimation; p++) {
            int n = middle * decimation + p;
            float[] x = new float[g.samples()];
            x[n] = 1;
            Line y = convert(converter, RfFrame.of(g, x), 0);
            double angle = 2 * Math.PI * g.centreFrequency() / g.samplingFrequency() * n;
            for (int k = 0; k < y.re.length; k++) {
                double re = y.re[k] * Math.cos(angle) - y.im[k] * Math.sin(angle);
                double im = y.re[k] * Math.sin(angle) + y.im[k] * Math.cos(angle);
                assertEquals(0, im, 1e-6, "a symmetric filter");
                int j = n - k * decimation;
                if (Math.abs(j) <= reach) {
                    h[j + reach] = re / 2;
                } else {
                    assertEquals(0, re, 0, "beyond the reach");
                }
            }
        }
        return h;
    }

    /**
     * What the class says of the filter: gain 1 at the centre, one half at bandwidth / 2, flat
     * within 0.0015 before the transition and below that behind it. Kaiser's formula (1974, from
     * memory; the taps are compared with SciPy's above) aims at 0.001; making the gain exactly 1 at
     * the centre moves the whole pass band by up to as much again.
     */
    @ParameterizedTest
    @CsvSource({
        // bandwidth, decimation, transition that the Javadoc promises
        "6e6, 1, 1.8e6",
        "6e6, 4, 1.8e6",
        "6e6, 6, 0.6666666667e6",
        "4.5e6, 5, 1.35e6",
        "4.5e6, 8, 0.5e6",
        "9e6, 3, 2.7e6",
        "15e6, 2, 4.5e6",
        "1e6, 10, 0.3e6"
    })
    void theFilterDoesWhatItSays(double bandwidth, int decimation, double transition) {
        assertFilter(
                lowPass(geometry(1, 4000), bandwidth, decimation),
                bandwidth,
                decimation,
                transition,
                0.0015);
    }

    @ParameterizedTest
    @CsvSource({"6e6, 4, 4e6", "4.5e6, 5, 3.5e6", "4.5e6, 8, 0.5e6", "6e6, 2, 5e6"})
    void soDoesOneWithFlanksOfAGivenWidth(double bandwidth, int decimation, double flanks) {
        ScanGeometry g = geometry(1, 4000);
        BasebandConverter given = new BasebandConverter(g, bandwidth, decimation, flanks);
        assertFilter(lowPass(g, given), bandwidth, decimation, flanks, 0.004);
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> new BasebandConverter(g, bandwidth, decimation, 0))
                        .getMessage();
        assertTrue(message.contains("flanks"), message);
    }

    private static void assertFilter(
            double[] h, double bandwidth, int decimation, double transition, double mostRipple) {
        assertEquals(1, gain(h, 0), 1e-6);
        assertEquals(0.5, gain(h, bandwidth / 2), 0.005);
        double ripple = 0;
        double leak = 0;
        int compared = 0;
        for (double f = 0; f <= FS / 2; f += FS / 2 / 4000) {
            if (f <= bandwidth / 2 - transition / 2) {
                ripple = Math.max(ripple, Math.abs(gain(h, f) - 1));
                compared++;
            } else if (f >= bandwidth / 2 + transition / 2) {
                leak = Math.max(leak, Math.abs(gain(h, f)));
                compared++;
            }
        }
        assertTrue(compared > 3000);
        System.out.printf(
                "bandwidth %g, decimation %d, %d taps: ripple %.2e, stop band %.1f dB, half-way"
                        + " gain %.4f%n",
                bandwidth,
                decimation,
                h.length,
                ripple,
                20 * Math.log10(leak),
                gain(h, bandwidth / 2));
        assertTrue(ripple < mostRipple, "ripple " + ripple);
        assertTrue(leak < 0.0015, "leak " + leak);
    }

    private static double gain(double[] h, double f) {
        double sum = 0;
        for (int j = 0; j < h.length; j++) {
            sum += h[j] * Math.cos(2 * Math.PI * f / FS * (j - h.length / 2));
        }
        return sum;
    }

    /**
     * A pure tone A cos(2 pi f t + phase) within the band is A exp(i (phase + 2 pi (f - fc) t)).
     */
    @Property(seed = "1", tries = 60)
    void aToneKeepsAmplitudeAndPhase(
            @ForAll @DoubleRange(min = 0.1, max = 1000) double amplitude,
            @ForAll @DoubleRange(min = -3, max = 3) double phase,
            @ForAll @Scale(4) @DoubleRange(min = -0.35, max = 0.35) double place,
            @ForAll @IntRange(min = 1, max = 5) int decimation) {
        double f = FC + place * BANDWIDTH;
        float[] x = new float[600];
        for (int n = 0; n < x.length; n++) {
            x[n] = (float) (amplitude * Math.cos(2 * Math.PI * f / FS * n + phase));
        }
        Line y = convert(x, BANDWIDTH, decimation);
        int compared = 0;
        for (int k = 0; k < y.re.length; k++) {
            int n = k * decimation;
            if (n >= 50 && n < 550) {
                double angle = phase + 2 * Math.PI * (f - FC) / FS * n;
                assertEquals(amplitude * Math.cos(angle), y.re[k], 0.0025 * amplitude);
                assertEquals(amplitude * Math.sin(angle), y.im[k], 0.0025 * amplitude);
                compared++;
            }
        }
        assertTrue(compared >= 100);
    }

    /** An echo from d farther away turns the phase by -4 pi f d / c. */
    @Test
    void movingAwayTurnsThePhaseBack() {
        double d = 3e-6;
        float[] near = new float[400];
        float[] far = new float[400];
        for (int n = 0; n < near.length; n++) {
            near[n] = pulse(n / FS);
            far[n] = pulse(n / FS - 2 * d / 1540);
        }
        Line a = convert(near, BANDWIDTH, 4);
        Line b = convert(far, BANDWIDTH, 4);
        int k = 50; // the pulse is centred on sample 200
        double turn =
                Math.atan2(
                        b.im[k] * a.re[k] - b.re[k] * a.im[k],
                        b.re[k] * a.re[k] + b.im[k] * a.im[k]);
        assertEquals(-4 * Math.PI * FC * d / 1540, turn, 0.002);
    }

    private static float pulse(double t) {
        double s = t - 200 / FS;
        return (float) (Math.exp(-s * s / (2 * 3e-7 * 3e-7)) * Math.cos(2 * Math.PI * FC * s));
    }

    @ParameterizedTest
    @ValueSource(ints = {2, 3, 4, 5})
    void decimatedIsEveryFewOfTheUndecimated(int decimation) {
        float[] x = noise(1003, 5);
        Line all = convert(x, BANDWIDTH, 1);
        Line few = convert(x, BANDWIDTH, decimation);
        assertEquals((1003 + decimation - 1) / decimation, few.re.length);
        for (int k = 0; k < few.re.length; k++) {
            assertEquals(all.re[k * decimation], few.re[k], 2e-6);
            assertEquals(all.im[k * decimation], few.im[k], 2e-6);
        }
    }

    private static float[] noise(int n, long seed) {
        Random random = new Random(seed);
        float[] x = new float[n];
        for (int i = 0; i < n; i++) {
            x[i] = 2 * random.nextFloat() - 1;
        }
        return x;
    }

    /**
     * Against the formula of the class, written down plainly in double precision, for any length
     * (shorter than the filter, one sample, not divisible), several lines in a row.
     */
    @Property(seed = "2", tries = 150)
    void agreesWithTheFormula(
            @ForAll @IntRange(min = 1, max = 260) int samples,
            @ForAll @IntRange(min = 1, max = 7) int decimation,
            @ForAll @Scale(4) @DoubleRange(min = 0.03, max = 0.46) double centre,
            @ForAll @Scale(4) @DoubleRange(min = 0.1, max = 1) double share,
            @ForAll @IntRange(min = 0, max = 1000) int seed) {
        double fc = centre * FS;
        ScanGeometry g = ScanGeometry.linear(3, samples, FS, fc, 1540, 0, 3e-4, 50);
        double bandwidth =
                share * Math.min(BasebandConverter.widestBand(g), 0.95 * FS / decimation);
        BasebandConverter converter = new BasebandConverter(g, bandwidth, decimation);
        double[] h = referenceLowPass(bandwidth, decimation);
        float[] x = noise(3 * samples, seed);
        RfFrame frame = RfFrame.of(g, x);
        for (int line = 0; line < 3; line++) {
            Line y = convert(converter, frame, line);
            assertFalse(y.flawed);
            assertEquals((samples - 1) / decimation + 1, y.re.length);
            for (int k = 0; k < y.re.length; k++) {
                double re = 0;
                double im = 0;
                for (int j = -(h.length / 2); j <= h.length / 2; j++) {
                    int n = k * decimation + j;
                    if (n >= 0 && n < samples) {
                        double v = 2 * h[j + h.length / 2] * x[line * samples + n];
                        re += v * Math.cos(-2 * Math.PI * fc * n / FS);
                        im += v * Math.sin(-2 * Math.PI * fc * n / FS);
                    }
                }
                assertEquals(re, y.re[k], 3e-6);
                assertEquals(im, y.im[k], 3e-6);
            }
        }
    }

    /** Kaiser's window by the integral of the Bessel function instead of its series. */
    private static double[] referenceLowPass(double bandwidth, int decimation) {
        double transition = Math.min(0.3 * bandwidth, FS / decimation - bandwidth);
        double beta = 0.1102 * (60 - 8.7);
        int half = (int) Math.ceil((60 - 7.95) / (2.285 * 2 * Math.PI * transition / FS) / 2);
        double[] h = new double[2 * half + 1];
        for (int j = -half; j <= half; j++) {
            double t = Math.PI * j * bandwidth / FS;
            double r = (double) j / half;
            h[j + half] = (j == 0 ? 1 : Math.sin(t) / t) * bessel(beta * Math.sqrt(1 - r * r));
        }
        double sum = Arrays.stream(h).sum();
        return Arrays.stream(h).map(v -> v / sum).toArray();
    }

    private static double bessel(double x) {
        double sum = 0;
        for (int i = 0; i < 64; i++) {
            sum += Math.exp(x * Math.cos(Math.PI * (i + 0.5) / 64));
        }
        return sum / 64;
    }

    @Test
    void samplesThatAreNotNumbersAreReportedAndCountAsZero() {
        float[] x = noise(103, 3);
        float[] zeroed = x.clone();
        x[0] = Float.NaN;
        x[41] = Float.POSITIVE_INFINITY;
        x[42] = Float.NEGATIVE_INFINITY;
        x[102] = Float.NaN;
        for (int i : new int[] {0, 41, 42, 102}) {
            zeroed[i] = 0;
        }
        Line y = convert(x, BANDWIDTH, 4);
        Line expected = convert(zeroed, BANDWIDTH, 4);
        assertTrue(y.flawed);
        assertFalse(expected.flawed);
        assertArrayEquals(expected.re, y.re);
        assertArrayEquals(expected.im, y.im);
        float[] flaws = new float[26];
        flaws[0] = 0.25f;
        flaws[10] = 0.5f;
        flaws[25] = 1f / 3; // samples 100 to 102 are all that is left
        assertArrayEquals(flaws, y.flaws, 1e-7f);
        assertArrayEquals(new float[26], expected.flaws);
    }

    @Test
    void clippedSamplesAreReportedAndKeepTheirValue() {
        short[] shorts = new short[40];
        float[] floats = new float[40];
        Random random = new Random(4);
        for (int i = 0; i < shorts.length; i++) {
            shorts[i] = (short) (random.nextInt(60000) - 30000);
        }
        shorts[7] = 32767;
        shorts[8] = -32768;
        shorts[9] = -32767;
        shorts[20] = 32766;
        for (int i = 0; i < shorts.length; i++) {
            floats[i] = shorts[i];
        }
        ScanGeometry g = geometry(1, 40);
        BasebandConverter converter = new BasebandConverter(g, BANDWIDTH, 5);
        Line y = convert(converter, RfFrame.of(g, shorts), 0);
        Line expected = convert(converter, RfFrame.of(g, floats), 0);
        assertTrue(y.flawed);
        assertFalse(expected.flawed);
        assertArrayEquals(expected.re, y.re);
        assertArrayEquals(expected.im, y.im);
        assertArrayEquals(new float[] {0, 0.6f, 0, 0, 0, 0, 0, 0}, y.flaws, 1e-7f);
    }

    /** A share is never above 1, whatever a sum of tenths may come to in floats. */
    @Property(seed = "3", tries = 60)
    void aLineWithoutANumberIsFlawedAllAlong(
            @ForAll @IntRange(min = 1, max = 40) int decimation,
            @ForAll @IntRange(min = 1, max = 200) int samples) {
        float[] x = new float[samples];
        Arrays.fill(x, Float.NaN);
        Line y = convert(x, 0.9e6, decimation);
        assertTrue(y.flawed);
        for (int k = 0; k < y.re.length; k++) {
            assertEquals(1f, y.flaws[k]);
            assertEquals(0f, y.re[k], 0f);
            assertEquals(0f, y.im[k], 0f);
        }
    }

    @Test
    void aFlawedLineLeavesNothingBehind() {
        ScanGeometry g = geometry(2, 100);
        float[] x = noise(200, 8);
        float[] clean = convert(new BasebandConverter(g, BANDWIDTH, 4), RfFrame.of(g, x), 1).re;
        Arrays.fill(x, 0, 100, Float.NaN);
        BasebandConverter converter = new BasebandConverter(g, BANDWIDTH, 4);
        RfFrame frame = RfFrame.of(g, x);
        assertTrue(convert(converter, frame, 0).flawed);
        Line y = convert(converter, frame, 1);
        assertFalse(y.flawed);
        assertArrayEquals(clean, y.re);
        assertArrayEquals(new float[25], y.flaws);
    }

    /** Padding and margins of the frame and of the three outputs, each its own, change no bit. */
    @Property(seed = "4", tries = 60)
    void marginsAndPaddingChangeNothing(
            @ForAll @IntRange(min = 1, max = 90) int samples,
            @ForAll @IntRange(min = 0, max = 9) int margin,
            @ForAll @IntRange(min = 0, max = 9) int padding,
            @ForAll @IntRange(min = 0, max = 9) int offset,
            @ForAll @IntRange(min = 0, max = 9) int flawsOffset,
            @ForAll boolean wantsFlaws) {
        ScanGeometry g = geometry(2, samples);
        float[] dense = noise(2 * samples, samples);
        dense[samples / 2] = Float.NaN;
        int stride = samples + padding;
        float[] padded = new float[margin + 2 * stride];
        Arrays.fill(padded, Float.NaN);
        for (int line = 0; line < 2; line++) {
            System.arraycopy(dense, line * samples, padded, margin + line * stride, samples);
        }
        RfFrame frame = RfFrame.of(g, padded, margin, stride);
        BasebandConverter converter = new BasebandConverter(g, BANDWIDTH, 3);
        for (int line = 0; line < 2; line++) {
            Line expected = convert(converter, RfFrame.of(g, dense), line);
            int n = converter.length();
            float[] re = filled(offset + n + 2);
            float[] im = filled(offset + n);
            float[] flaws = filled(flawsOffset + n + 1);
            boolean flawed =
                    converter.convert(
                            frame, line, re, im, offset, wantsFlaws ? flaws : null, flawsOffset);
            assertEquals(line == 0, flawed);
            assertWritten(expected.re, re, offset);
            assertWritten(expected.im, im, offset);
            if (wantsFlaws) {
                assertWritten(expected.flaws, flaws, flawsOffset);
            }
        }
    }

    private static float[] filled(int n) {
        float[] array = new float[n];
        Arrays.fill(array, -7f);
        return array;
    }

    private static void assertWritten(float[] expected, float[] actual, int offset) {
        float[] whole = filled(actual.length);
        System.arraycopy(expected, 0, whole, offset, expected.length);
        assertArrayEquals(whole, actual);
    }

    @ParameterizedTest
    @ValueSource(ints = {1, 4})
    void aCallAllocatesNothing(int decimation) {
        ScanGeometry g = geometry(2, 120);
        float[] x = noise(240, 1);
        x[30] = Float.NaN;
        RfFrame frame = RfFrame.of(g, x);
        BasebandConverter converter = new BasebandConverter(g, BANDWIDTH, decimation);
        float[] out = new float[3 * converter.length()];
        float[] flaws = new float[converter.length()];
        assertEquals(
                0,
                Allocation.ofCalls(
                        () -> {
                            converter.convert(frame, 0, out, out, 0, flaws, 0);
                            converter.convert(frame, 1, out, out, 3, null, 0);
                        }));
    }

    @Test
    void whatDoesNotFitIsRefusedBeforeAnythingIsWritten() {
        ScanGeometry g = geometry(2, 100);
        BasebandConverter converter = new BasebandConverter(g, BANDWIDTH, 4);
        RfFrame frame = RfFrame.of(g, noise(200, 1));
        float[] fits = filled(25);
        float[] shorter = filled(24);
        Class<IndexOutOfBoundsException> type = IndexOutOfBoundsException.class;
        int[] badLines = {-1, 2};
        for (int line : badLines) {
            assertThrows(type, () -> converter.convert(frame, line, fits, fits, 0, fits, 0));
        }
        int[] badOffsets = {-1, 1, Integer.MAX_VALUE};
        for (int bad : badOffsets) {
            assertThrows(type, () -> converter.convert(frame, 0, fits, fits, bad, fits, 0));
            assertThrows(type, () -> converter.convert(frame, 0, fits, fits, 0, fits, bad));
        }
        assertThrows(type, () -> converter.convert(frame, 0, shorter, fits, 0, fits, 0));
        assertThrows(type, () -> converter.convert(frame, 0, fits, shorter, 0, fits, 0));
        assertThrows(type, () -> converter.convert(frame, 0, fits, fits, 0, shorter, 0));
        assertArrayEquals(filled(25), fits);
        assertArrayEquals(filled(24), shorter);
    }

    @Test
    void anotherGeometryIsRefusedWithBoth() {
        BasebandConverter converter = new BasebandConverter(geometry(2, 100), BANDWIDTH, 4);
        RfFrame shorter = RfFrame.allocate(geometry(2, 99), SampleType.INT16);
        float[] out = new float[25];
        refused(
                "geometry of the frame is " + geometry(2, 99) + "; expected " + geometry(2, 100),
                () -> converter.convert(shorter, 0, out, out, 0, null, 0));
        // An equal one, not the same, is welcome.
        converter.convert(
                RfFrame.allocate(geometry(2, 100), SampleType.INT16), 0, out, out, 0, null, 0);
    }

    @Test
    void impossibleFiltersAreRefused() {
        ScanGeometry g = geometry(1, 100);
        for (double bad : new double[] {0, -1, Double.NaN, Double.POSITIVE_INFINITY}) {
            refused("bandwidth is " + bad + " Hz", () -> new BasebandConverter(g, bad, 1));
            refused("bandwidth is " + bad, () -> BasebandConverter.decimationFor(g, bad));
        }
        refused(
                "bandwidth is 1.51E7 Hz; it must be from 0.0 to 1.5E7",
                () -> new BasebandConverter(g, 15.1e6, 1));
        refused("decimation is 0; it must be from 1", () -> new BasebandConverter(g, 6e6, 0));
        refused("decimation is 1025", () -> new BasebandConverter(g, 1e3, 1025));
        refused(
                "bandwidth is 6000000.0 Hz; it must be below the baseband's sampling frequency of"
                        + " 5714285",
                () -> new BasebandConverter(g, 6e6, 7));
        refused("bandwidth is 1.0E7 Hz", () -> new BasebandConverter(g, 10e6, 4));
        // A filter without end, for want of room or of bandwidth.
        refused("must be at most 65535", () -> new BasebandConverter(g, 9.9999999e6, 4));
        refused("must be at most 65535", () -> new BasebandConverter(g, 1, 1));
        refused("must be at most 65535", () -> new BasebandConverter(g, 1e-300, 1));
    }

    /** The mirrored half of the spectrum begins where half the sampling frequency ends. */
    @Test
    void theBandStaysBelowHalfTheSamplingFrequency() {
        ScanGeometry high = ScanGeometry.linear(1, 100, 40e6, 16e6, 1540, 0, 3e-4, 50);
        assertEquals(8e6, BasebandConverter.widestBand(high), 1e-6);
        assertEquals(15e6, BasebandConverter.widestBand(geometry(1, 100)), 1e-6);
        refused("from 0.0 to 8000000.0", () -> new BasebandConverter(high, 8.1e6, 1));
        assertEquals(100, new BasebandConverter(high, 8e6, 1).length());
    }

    @Property(seed = "5", tries = 200)
    void theDecimationOfferedAlwaysWorks(
            @ForAll @Scale(4) @DoubleRange(min = 0.01, max = 0.49) double centre,
            @ForAll @Scale(4) @DoubleRange(min = 0.001, max = 1) double share) {
        ScanGeometry g = ScanGeometry.linear(1, 10, FS, centre * FS, 1540, 0, 3e-4, 50);
        double bandwidth = share * BasebandConverter.widestBand(g);
        int decimation = BasebandConverter.decimationFor(g, bandwidth);
        assertTrue(FS / decimation >= 1.6 * bandwidth * (1 - 1e-12));
        assertTrue(decimation == 1024 || FS / (decimation + 1) < 1.6 * bandwidth);
        if (bandwidth / FS > 2e-3) {
            assertEquals(decimation, new BasebandConverter(g, bandwidth, decimation).decimation());
        }
    }

    /** A tone anywhere that would come back within the band does so 60 dB down. */
    @ParameterizedTest
    @ValueSource(doubles = {6e6, 4.5e6, 3e6, 1.5e6})
    void aliasesStayOutOfTheBandWithFlatFlanks(double bandwidth) {
        ScanGeometry g = geometry(1, 2000);
        int decimation = BasebandConverter.decimationFor(g, bandwidth);
        double flanks = BasebandConverter.flatFlanks(g, bandwidth, decimation);
        double[] h = lowPass(g, new BasebandConverter(g, bandwidth, decimation, flanks));
        double rate = FS / decimation;
        int compared = 0;
        for (double f = -bandwidth / 2; f <= bandwidth / 2; f += bandwidth / 40) {
            for (int turn = 1; turn <= decimation / 2; turn++) {
                assertEquals(0, gain(h, f + turn * rate), 2e-3);
                compared++;
            }
        }
        assertTrue(compared >= 40);
        assertEquals(1, gain(h, 0), 1e-6);
        assertTrue(flanks <= bandwidth);
    }

    @Test
    void samplesAreSpacedByTheDecimation() {
        BasebandConverter converter = new BasebandConverter(geometry(1, 100), BANDWIDTH, 4);
        assertEquals(4 * 19.25e-6, converter.sampleSpacing(), 1e-12);
    }

    private static void refused(String message, Executable code) {
        String actual = assertThrows(IllegalArgumentException.class, code).getMessage();
        assertTrue(actual.contains(message), actual);
    }
}
