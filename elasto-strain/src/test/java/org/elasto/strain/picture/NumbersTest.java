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

class NumbersTest {

    /** Against the value found by sorting. */
    @Property(tries = 100, seed = "27")
    void percentileIsThatOfSortedValues(
            @ForAll @IntRange(min = 1, max = 300) int count,
            @ForAll @IntRange(min = 1, max = 50) int different,
            @ForAll @DoubleRange(min = 0, max = 1) double share,
            @ForAll long seed) {
        Random random = new Random(seed);
        Percentile percentile = new Percentile(count);
        float[] values = new float[count];
        for (int i = 0; i < count; i++) {
            values[i] = random.nextInt(different) / 7f;
            percentile.add(values[i]);
        }
        Arrays.sort(values);
        int index = Math.max(0, (int) Math.ceil(share * count) - 1);
        assertEquals(values[index], percentile.of(share));
        percentile.clear();
        assertTrue(Float.isNaN(percentile.of(share)));
    }

    @Property(tries = 200, seed = "28")
    void ceilingIsRoundAndJustAbove(@ForAll @DoubleRange(min = 0.01, max = 9999) double value) {
        double round = RoundNumbers.ceiling(value);
        assertTrue(round >= value * (1 - 1e-6) && round <= 1.34 * value);
    }

    @Test
    void numbersAsWritten() {
        assertEquals(0.25, RoundNumbers.ceiling(0.21), 1e-12);
        assertEquals(1e-3, RoundNumbers.ceiling(1e-3), 1e-12);
        assertEquals(10, RoundNumbers.ceiling(8.1), 1e-12);
        assertEquals(0.05, RoundNumbers.step(0.03), 1e-12);
        assertEquals(20, RoundNumbers.step(12), 1e-12);
        assertEquals("0.10", RoundNumbers.text(0.1, 0.05));
        assertEquals("\u221220", RoundNumbers.text(-20, 10));
        assertEquals("0", RoundNumbers.text(-0.0, 5));
    }
}
