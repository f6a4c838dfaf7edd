package org.elasto.strain.shared;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.LongRange;

class SelectionTest {

    @Property(tries = 300, seed = "12")
    void isWhatStandsInTheMiddleAfterSorting(
            @ForAll @IntRange(min = 1, max = 200) int count,
            @ForAll @IntRange(min = 1, max = 50) int different,
            @ForAll @LongRange(min = 0, max = 1000) long seed) {
        Random random = new Random(seed);
        double[] values = new double[count + 3];
        for (int i = 0; i < values.length; i++) {
            values[i] = random.nextInt(different) - 10.5;
            if (random.nextInt(20) == 0) {
                values[i] = Double.POSITIVE_INFINITY;
            }
        }
        double[] sorted = values.clone();
        Arrays.sort(sorted, 0, count);
        assertEquals(sorted[count / 2], Selection.median(values, count));
        int place = random.nextInt(count);
        assertEquals(sorted[place], Selection.select(values, count, place));
    }
}
