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

    /** Codes grow with power, and give its logarithm back; a lift is so many octaves. */
    @Test
    void codesKeepTheLogarithm() {
        int compared = 0;
        int before = Decibels.SILENCE;
        for (int bits = Float.floatToRawIntBits(Float.MIN_NORMAL);
                bits <= Float.floatToRawIntBits(Float.MAX_VALUE) - 10007;
                bits += 10007) {
            float power = Float.intBitsToFloat(bits);
            int code = Decibels.code(power, 0);
            assertTrue(code > before);
            before = code;
            double exact = 10 * Math.log10(power);
            assertEquals(exact, Decibels.ofCode(code), 1.5e-4);
            int lifted = Decibels.code(power, 300 << Decibels.OCTAVE_BITS);
            assertEquals(exact + 3000 * Math.log10(2), Decibels.ofCode(lifted), 3e-4);
            compared++;
        }
        assertTrue(compared > 200_000);
        assertEquals(Decibels.SILENCE, Decibels.code(0, 5 << Decibels.OCTAVE_BITS));
        assertEquals(Decibels.SILENCE, Decibels.code(1e-39f, 5 << Decibels.OCTAVE_BITS));
    }

    private static int code(double level) {
        return Decibels.code((float) Math.pow(10, level / 10), 0);
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
            codes[i] = code(levels[i]);
        }
        // Counted in two parts and added, with silence in between.
        LevelHistogram one = new LevelHistogram(Decibels.OCTAVES);
        LevelHistogram two = new LevelHistogram(Decibels.OCTAVES);
        one.add(codes, 0, count / 3);
        one.add(new int[] {Decibels.SILENCE}, 0, 1);
        two.add(codes, count / 3, count);
        two.add(one);
        Arrays.sort(levels);
        int index = Math.max(0, (int) Math.ceil(share * count) - 1);
        assertEquals(levels[index], two.of(share), 0.035);
        two.clear();
        assertTrue(Double.isNaN(two.of(share)));
    }

    @Test
    void histogramHoldsTheWholeRange() {
        LevelHistogram histogram = new LevelHistogram(Decibels.OCTAVES + 33);
        int lift = 33 << Decibels.OCTAVE_BITS;
        double most = 10 * Math.log10(Float.MAX_VALUE) + 330 * Math.log10(2);
        int[] codes = {code(-379), code(380), Decibels.code(Float.MAX_VALUE, lift), 0};
        histogram.add(codes, 0, 4);
        assertEquals(-379, histogram.of(0.33), 0.035);
        assertEquals(380, histogram.of(0.66), 0.035);
        assertEquals(most, histogram.of(1), 0.035);
    }
}
