package org.elasto.tracking.shared;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;

class LineEndsTest {

    /** What a window cut at the ends makes of a line, by its definition. */
    private static float[] smoothed(GaussianWindow window, double[] line) {
        float[] result = new float[line.length];
        for (int i = 0; i < line.length; i++) {
            double sum = 0;
            double weights = 0;
            for (int k = 0; k < line.length; k++) {
                sum += window.tap(k - i) * line[k];
                weights += window.tap(k - i);
            }
            result[i] = (float) (sum / weights);
        }
        return result;
    }

    @Property(tries = 100, seed = "71")
    void aStraightLineBecomesStraightAgain(
            @ForAll @DoubleRange(max = 12) double deviation,
            @ForAll @IntRange(min = 160, max = 300) int length,
            @ForAll @DoubleRange(min = -1, max = 1) double slope) {
        GaussianWindow window = new GaussianWindow(deviation, length);
        double[] line = new double[length];
        float[] expected = new float[length];
        for (int i = 0; i < length; i++) {
            line[i] = slope * i - 3;
            expected[i] = (float) line[i];
        }
        float[] displacement = smoothed(window, line);
        new LineEnds(window, length, 100).straighten(displacement);
        assertArrayEquals(expected, displacement, 1e-3f);
    }

    @Test
    void whatJumpsOrIsTooShortIsLeftAsItIs() {
        GaussianWindow window = new GaussianWindow(4, 100);
        double[] line = new double[100];
        for (int i = 18; i < 100; i++) {
            line[i] = 1;
        }
        float[] before = smoothed(window, line);
        float[] after = before.clone();
        new LineEnds(window, 100, 0.5).straighten(after);
        assertArrayEquals(before, after);
        new LineEnds(window, 4 * window.halfWidth() - 1, 100).straighten(after);
        assertArrayEquals(before, after);
        new LineEnds(window, 100, 2).straighten(after);
        assertTrue(after[0] < before[0] - 0.1f, () -> before[0] + " became " + after[0]);
        assertEquals(before[50], after[50]);
    }
}
