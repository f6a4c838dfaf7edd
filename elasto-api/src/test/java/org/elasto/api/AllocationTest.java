package org.elasto.api;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** The counter itself: it must see what is there, or all the zeros it reports mean nothing. */
class AllocationTest {

    private static volatile Object sink;

    @Test
    void seesWhatIsAllocated() {
        assertTrue(Allocation.ofCalls(() -> sink = new byte[1000]) >= 200 * 1000);
    }

    @Test
    void seesNothingWhereNothingIsAllocated() {
        int[] counter = new int[1];
        assertEquals(0, Allocation.ofCalls(() -> counter[0]++));
    }
}
