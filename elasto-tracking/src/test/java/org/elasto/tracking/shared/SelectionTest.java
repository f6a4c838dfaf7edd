package org.elasto.tracking.shared;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;

/** Against the JDK's sort. */
class SelectionTest {

    @Property(seed = "4711", tries = 300)
    void isWhatSortingWouldPutThere(
            @ForAll @Size(min = 1, max = 40) float[] values, @ForAll @IntRange(max = 39) int k) {
        // Few different values, so that equal ones are common, and some that are no number.
        for (int i = 0; i < values.length; i += 3) {
            values[i] = i % 2 == 0 ? Float.NaN : Math.round(values[i] % 3);
        }
        int place = k % values.length;
        float[] sorted = values.clone();
        Arrays.sort(sorted);
        float seen = Selection.select(values, values.length, place);
        assertEquals(Float.floatToIntBits(sorted[place]), Float.floatToIntBits(seen));
    }
}
