package org.elasto.strain.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;

class DecibelsTest {

    /** Against Math.log10, over all exponents and closely over one octave. */
    @Test
    void logarithmIsExactToATenThousandth() {
        int compared = 0;
        double worst = 0;
        for (int bits = Float.floatToRawIntBits(Float.MIN_NORMAL);
                bits <= Float.floatToRawIntBits(Float.MAX_VALUE) - 10007;
                bits += 10007) {
            worst = Math.max(worst, error(Float.intBitsToFloat(bits)));
            compared++;
        }
        assertTrue(compared > 200_000);
        assertTrue(worst < 1e-4, "worst " + worst);
        double worstOctave = 0;
        for (float power = 0.7f; power < 1.5f; power = Math.nextUp(power + 1e-6f)) {
            worstOctave = Math.max(worstOctave, error(power));
        }
        assertTrue(worstOctave < 7e-6, "worst near 1 " + worstOctave);
        assertEquals(0, Decibels.ofPower(1));
    }

    private static double error(float power) {
        return Math.abs(Decibels.ofPower(power) - 10 * Math.log10(power));
    }

    private static int code(float power, int lift) {
        int[] codes = new int[1];
        Decibels.codes(new float[] {power}, new int[] {lift}, codes, 1);
        return codes[0];
    }

    /** Codes grow with power, and give its logarithm back; a lift is so many octaves. */
    @Test
    void codesKeepTheLogarithm() {
        int compared = 0;
        int before = Decibels.SILENCE;
        for (int bits = Float.floatToRawIntBits(Float.MIN_NORMAL);
                bits <= Float.floatToRawIntBits(Float.MAX_VALUE) - 10007;
                bits += 10007) {
            float power = Float.intBitsToFloat(bits);
            int code = code(power, 0);
            assertTrue(code > before);
            before = code;
            double exact = 10 * Math.log10(power);
            assertEquals(exact, Decibels.ofCode(code), 1.5e-4);
            int lifted = code(power, 300 << Decibels.OCTAVE_BITS);
            assertEquals(exact + 3000 * Math.log10(2), Decibels.ofCode(lifted), 3e-4);
            compared++;
        }
        assertTrue(compared > 200_000);
        assertEquals(Decibels.SILENCE, code(0, 5 << Decibels.OCTAVE_BITS));
        assertEquals(Decibels.SILENCE, code(1e-39f, 5 << Decibels.OCTAVE_BITS));
    }

    private static int codeOf(double level) {
        return code((float) Math.pow(10, level / 10), 0);
    }

    /** Many at once as each by itself, no more than are asked for. */
    @Test
    void codesOfMany() {
        Random random = new Random(513);
        float[] power = new float[300];
        int[] lift = new int[300];
        for (int i = 0; i < 300; i++) {
            power[i] = i % 7 == 0 ? 0 : (float) Math.exp(100 * random.nextGaussian());
            lift[i] = random.nextInt(400) << Decibels.OCTAVE_BITS;
        }
        int[] codes = new int[300];
        Arrays.fill(codes, -1);
        Decibels.codes(power, lift, codes, 299);
        int silent = 0;
        for (int i = 0; i < 299; i++) {
            boolean isSilent = power[i] < Float.MIN_NORMAL;
            int bits = Float.floatToRawIntBits(power[i]) >>> 7;
            assertEquals(isSilent ? Decibels.SILENCE : bits + lift[i], codes[i]);
            silent += isSilent ? 1 : 0;
        }
        assertTrue(silent >= 43 && silent < 200, "silent: " + silent);
        assertEquals(-1, codes[299]);
    }

    /** Against the value found by sorting; to within a place, 0.034 dB. */
    @Property(tries = 50, seed = "511")
    void histogramFindsWhatSortingFinds(
            @ForAll @IntRange(min = 1, max = 3000) int count,
            @ForAll @DoubleRange(min = 0, max = 1) double share,
            @ForAll long seed) {
        Random random = new Random(seed);
        double[] levels = new double[count];
        int[] codes = new int[count];
        for (int i = 0; i < count; i++) {
            levels[i] = 60 + 20 * random.nextGaussian();
            codes[i] = codeOf(levels[i]);
        }
        // Counted in two parts and added, with silence in between.
        LevelHistogram one = new LevelHistogram(Decibels.OCTAVES);
        LevelHistogram two = new LevelHistogram(Decibels.OCTAVES);
        one.add(codes, count / 3, 1);
        one.add(new int[] {Decibels.SILENCE}, 1, 1);
        assertTrue(count < 3 || one.of(1) >= one.of(0));
        two.add(Arrays.copyOfRange(codes, count / 3, count), count - count / 3, 1);
        two.add(one);
        Arrays.sort(levels);
        int index = Math.max(0, (int) Math.ceil(share * count) - 1);
        assertEquals(levels[index], two.of(share), 0.035);
        two.clear();
        assertTrue(Double.isNaN(two.of(share)));
        // Every third alone.
        two.add(codes, count, 3);
        double[] third = new double[(count + 2) / 3];
        Arrays.setAll(third, i -> Decibels.ofCode(codes[3 * i]));
        Arrays.sort(third);
        int among = Math.max(0, (int) Math.ceil(share * third.length) - 1);
        assertEquals(third[among], two.of(share), 0.035);
    }

    @Test
    void histogramHoldsTheWholeRange() {
        LevelHistogram histogram = new LevelHistogram(Decibels.OCTAVES + 33);
        int lift = 33 << Decibels.OCTAVE_BITS;
        double most = 10 * Math.log10(Float.MAX_VALUE) + 330 * Math.log10(2);
        int[] codes = {codeOf(-379), codeOf(380), code(Float.MAX_VALUE, lift), 0};
        histogram.add(codes, 4, 1);
        assertEquals(-379, histogram.of(0.33), 0.035);
        assertEquals(380, histogram.of(0.66), 0.035);
        assertEquals(most, histogram.of(1), 0.035);
    }
}
