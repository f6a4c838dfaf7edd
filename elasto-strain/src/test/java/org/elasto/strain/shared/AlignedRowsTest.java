package org.elasto.strain.shared;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

class AlignedRowsTest {

    /** With the 16 bytes of its head, as with the usual settings, an array takes whole lines. */
    @Test
    void arraysAreLongEnoughAndTakeWholeCacheLines() {
        for (int length = 0; length < 100; length++) {
            float[][] floats = AlignedRows.ofFloats(3, length);
            int[][] integers = AlignedRows.ofIntegers(2, length);
            assertEquals(3, floats.length);
            assertEquals(2, integers.length);
            assertNotSame(floats[0], floats[1]);
            for (int padded : new int[] {floats[2].length, integers[1].length}) {
                assertTrue(padded >= length && padded < length + 16);
                assertEquals(0, (16 + 4 * padded) % 64);
            }
            assertArrayEquals(new float[floats[2].length], floats[2]);
        }
        assertEquals(0, AlignedRows.ofFloats(0, 5).length);
    }
}
