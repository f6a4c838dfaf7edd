package org.elasto.strain.shared;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;

/** Against sorting by the JDK. */
class CountedSelectionTest {

    private static void check(double[] values) {
        double[] before = values.clone();
        CountedSelection selection = new CountedSelection(values.length);
        for (int count = 1; count <= values.length; count++) {
            double[] part = Arrays.copyOf(values, count);
            Arrays.sort(part);
            double expected = part[count / 2];
            assertEquals(expected, selection.median(values, count), "of " + count);
        }
        assertArrayEquals(before, values, "the values stay as they are");
    }

    @Property(tries = 200, seed = "71")
    void anyValues(
            @ForAll @Size(min = 1, max = 40)
                    List<@DoubleRange(min = -1e3, max = 1e3) Double> values) {
        check(values.stream().mapToDouble(Double::doubleValue).toArray());
    }

    @Test
    void alikeAndFarApart() {
        check(new double[] {0, -0.0, 0, 1e-300, -1e300, Double.POSITIVE_INFINITY, 5, 5, 5});
        check(new double[] {-1, -1, -1, -1});
        check(new double[] {Double.MIN_VALUE, -Double.MIN_VALUE, Double.MAX_VALUE, -3, 3});
    }

    /** As residuals of strain are: many within a few octaves, on either side of 0. */
    @Test
    void manyOfOneSize() {
        Random random = new Random(3);
        double[] values = new double[1200];
        for (int i = 0; i < values.length; i++) {
            values[i] = 1e-3 * random.nextGaussian();
        }
        check(values);
        for (int i = 0; i < values.length; i++) {
            values[i] = 1 + 1e-9 * values[i];
        }
        check(values);
    }
}
