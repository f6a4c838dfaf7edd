package org.elasto.api.signal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.elasto.api.Allocation;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class EnvelopeConverterTest {

    private static final double FS = 40e6;
    private static final double FC = 7.5e6;
    private static final double BANDWIDTH = 6e6;

    private static ScanGeometry geometry(int lines, int samples, double centre) {
        return ScanGeometry.linear(lines, samples, FS, centre, 1540, 0, 3e-4, 50);
    }

    private static float[] noise(int n, long seed) {
        Random random = new Random(seed);
        float[] x = new float[n];
        for (int i = 0; i < n; i++) {
            x[i] = (float) (100 * random.nextGaussian());
        }
        return x;
    }

    private static float[] convert(EnvelopeConverter converter, RfFrame frame, int line) {
        float[] power = new float[converter.length()];
        converter.convert(frame, line, power, 0);
        return power;
    }

    /** Modified Bessel function by its integral (Abramowitz & Stegun, 9.6.16). */
    private static double besselI0(double x) {
        int steps = 400;
        double sum = 0;
        for (int i = 0; i < steps; i++) {
            sum += Math.exp(x * Math.cos(Math.PI * (i + 0.5) / steps));
        }
        return sum / steps;
    }

    /**
     * The squared magnitude as it is defined, in double precision, sample by sample: a sinc of the
     * bandwidth under Kaiser's window for 40 dB, as long as Kaiser's formula says for the flanks.
     */
    private static double[] plainPower(float[] x, double centre, double bandwidth, int decimation) {
        double flanks = Math.min(bandwidth, 1.1 * (FS / decimation - bandwidth));
        int half = (int) Math.ceil((40 - 7.95) / (14.357 * flanks / FS) / 2);
        double beta = 0.5842 * Math.pow(40 - 21, 0.4) + 0.07886 * (40 - 21);
        double[] h = new double[2 * half + 1];
        for (int j = -half; j <= half; j++) {
            double t = Math.PI * bandwidth / FS * j;
            double window = besselI0(beta * Math.sqrt(1 - (double) j * j / half / half));
            h[j + half] = (j == 0 ? 1 : Math.sin(t) / t) * window;
        }
        double gain = Arrays.stream(h).sum();
        double[] power = new double[(x.length + decimation - 1) / decimation];
        for (int k = 0; k < power.length; k++) {
            double re = 0;
            double im = 0;
            for (int j = -half; j <= half; j++) {
                int n = k * decimation + j;
                if (n >= 0 && n < x.length) {
                    double angle = 2 * Math.PI * centre / FS * n;
                    re += 2 * h[j + half] / gain * x[n] * Math.cos(angle);
                    im -= 2 * h[j + half] / gain * x[n] * Math.sin(angle);
                }
            }
            power[k] = re * re + im * im;
        }
        return power;
    }

    @Property(seed = "41", tries = 80)
    void isWhatThePlainSumsGive(
            @ForAll @IntRange(min = 1, max = 300) int samples,
            @ForAll @DoubleRange(min = 2e6, max = 15e6) double centre,
            @ForAll @IntRange(min = 0, max = 9) int offset) {
        ScanGeometry g = geometry(2, samples, centre);
        double bandwidth = BasebandConverter.bandFor(g, 0.8);
        EnvelopeConverter converter = new EnvelopeConverter(g, bandwidth);
        float[] x = noise(2 * samples, samples);
        int decimation = BasebandConverter.decimationFor(g, bandwidth);
        assertEquals(decimation * g.sampleSpacing(), converter.sampleSpacing());
        int n = converter.length();
        for (int line = 0; line < 2; line++) {
            float[] from = Arrays.copyOfRange(x, line * samples, (line + 1) * samples);
            double[] expected = plainPower(from, centre, bandwidth, decimation);
            assertEquals(expected.length, n);
            float[] power = new float[offset + n + 2];
            Arrays.fill(power, -7f);
            converter.convert(RfFrame.of(g, x), line, power, offset);
            for (int i = 0; i < power.length; i++) {
                boolean isResult = i >= offset && i < offset + n;
                // Amplitudes are some hundred: to a millionth of their square.
                assertEquals(isResult ? expected[i - offset] : -7, power[i], 0.05);
            }
        }
    }

    private static float[] tone(double frequency, double amplitude, int samples) {
        float[] x = new float[samples];
        for (int n = 0; n < samples; n++) {
            x[n] = (float) (amplitude * Math.cos(2 * Math.PI * frequency / FS * n + 1));
        }
        return x;
    }

    /** Of a tone, apart from the ends: the amplitude, by what the filter lets through. */
    private static void assertGain(double frequency, double least, double most) {
        ScanGeometry g = geometry(1, 2000, FC);
        EnvelopeConverter converter = new EnvelopeConverter(g, BANDWIDTH);
        float[] power = convert(converter, RfFrame.of(g, tone(frequency, 1000, 2000)), 0);
        for (int k = 10; k < power.length - 10; k++) {
            double gain = Math.sqrt(power[k]) / 1000;
            assertTrue(gain >= least && gain <= most, frequency + " Hz: gain " + gain);
        }
    }

    @Test
    void bandIsKeptAndTheRestIsNot() {
        assertGain(FC, 0.99, 1.01);
        assertGain(FC - 0.5e6, 0.95, 1.01);
        assertGain(FC + 0.5e6, 0.95, 1.01);
        assertGain(FC - BANDWIDTH / 2, 0.48, 0.52);
        assertGain(FC + BANDWIDTH / 2, 0.48, 0.52);
        // Behind the flanks, 4.4 MHz wide, 40 dB down; so is what stands still.
        assertGain(0, 0, 0.011);
        assertGain(FC + 5.5e6, 0, 0.011);
        assertGain(FC + 8e6, 0, 0.011);
    }

    @ParameterizedTest
    @ValueSource(
            floats = {Float.NaN, Float.POSITIVE_INFINITY, Float.NEGATIVE_INFINITY, 1e15f, -3e38f})
    void flawedSamplesCountAsSilence(float flaw) {
        ScanGeometry g = geometry(1, 400, FC);
        float[] x = noise(400, 3);
        float[] silenced = x.clone();
        for (int i : new int[] {0, 1, 2, 150, 163, 398, 399}) {
            x[i] = flaw;
            silenced[i] = 0;
        }
        EnvelopeConverter converter = new EnvelopeConverter(g, BANDWIDTH);
        float[] expected = convert(converter, RfFrame.of(g, silenced), 0);
        assertArrayEquals(expected, convert(converter, RfFrame.of(g, x), 0));
        assertTrue(expected[60] > 0);
    }

    @Test
    void integersAreAsGoodAsFloats() {
        ScanGeometry g = geometry(1, 500, FC);
        short[] integers = new short[500];
        float[] floats = noise(500, 5);
        for (int i = 0; i < 500; i++) {
            integers[i] = i < 3 ? Short.MIN_VALUE : (short) floats[i];
            floats[i] = integers[i];
        }
        EnvelopeConverter converter = new EnvelopeConverter(g, BANDWIDTH);
        assertArrayEquals(
                convert(converter, RfFrame.of(g, floats), 0),
                convert(converter, RfFrame.of(g, integers), 0));
    }

    @Test
    void aCallAllocatesNothing() {
        ScanGeometry g = geometry(2, 120, FC);
        RfFrame frame = RfFrame.of(g, noise(240, 1));
        RfFrame integers = RfFrame.allocate(g, SampleType.INT16);
        EnvelopeConverter converter = new EnvelopeConverter(g, BANDWIDTH);
        float[] out = new float[converter.length() + 3];
        assertEquals(
                0,
                Allocation.ofCalls(
                        () -> {
                            converter.convert(frame, 1, out, 3);
                            converter.convert(integers, 0, out, 0);
                        }));
    }

    @Test
    void whatDoesNotFitIsRefusedBeforeAnythingIsWritten() {
        ScanGeometry g = geometry(2, 100, FC);
        EnvelopeConverter converter = new EnvelopeConverter(g, BANDWIDTH);
        RfFrame frame = RfFrame.of(g, noise(200, 1));
        float[] power = new float[25];
        Class<IndexOutOfBoundsException> type = IndexOutOfBoundsException.class;
        assertThrows(type, () -> converter.convert(frame, 2, power, 0));
        assertThrows(type, () -> converter.convert(frame, -1, power, 0));
        assertThrows(type, () -> converter.convert(frame, 0, power, 1));
        assertThrows(type, () -> converter.convert(frame, 0, power, -1));
        assertThrows(type, () -> converter.convert(frame, 0, new float[24], 0));
        assertArrayEquals(new float[25], power);
        RfFrame other = RfFrame.allocate(geometry(2, 99, FC), SampleType.INT16);
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> converter.convert(other, 0, power, 0))
                        .getMessage();
        assertTrue(message.contains("samples=99") && message.contains("samples=100"), message);
        for (double bad : new double[] {0, -1, Double.NaN, 15.1e6}) {
            assertThrows(IllegalArgumentException.class, () -> new EnvelopeConverter(g, bad));
        }
        String taps =
                assertThrows(IllegalArgumentException.class, () -> new EnvelopeConverter(g, 100))
                        .getMessage();
        assertTrue(taps.contains("65535"), taps);
    }
}
