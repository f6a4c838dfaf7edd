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

    /** Against the value found by sorting; to within a bin, 0.05 dB. */
    @Property(tries = 50, seed = "511")
    void histogramFindsWhatSortingFinds(
            @ForAll @IntRange(min = 1, max = 3000) int count,
            @ForAll @DoubleRange(min = 0, max = 1) double share,
            @ForAll long seed) {
        Random random = new Random(seed);
        float[] levels = new float[count];
        for (int i = 0; i < count; i++) {
            levels[i] = (float) (60 + 20 * random.nextGaussian());
        }
        // Counted in two parts and added, with silence in between.
        LevelHistogram one = new LevelHistogram(0);
        LevelHistogram two = new LevelHistogram(0);
        one.add(levels, 0, count / 3);
        one.add(new float[] {Float.NEGATIVE_INFINITY}, 0, 1);
        two.add(levels, count / 3, count);
        two.add(one);
        Arrays.sort(levels);
        int index = Math.max(0, (int) Math.ceil(share * count) - 1);
        assertEquals(levels[index], two.of(share), 0.051);
        two.clear();
        assertTrue(Double.isNaN(two.of(share)));
    }

    @Test
    void histogramHoldsTheWholeRange() {
        LevelHistogram histogram = new LevelHistogram(100);
        histogram.add(new float[] {-449, 480, 1e9f, -1e9f}, 0, 4);
        assertEquals(-450, histogram.of(0.25), 0.05);
        assertEquals(-449, histogram.of(0.5), 0.05);
        assertEquals(480, histogram.of(0.75), 0.05);
        assertEquals(490, histogram.of(1), 0.11);
    }
}
