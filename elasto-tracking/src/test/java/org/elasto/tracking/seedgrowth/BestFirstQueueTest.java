package org.elasto.tracking.seedgrowth;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Comparator;
import java.util.PriorityQueue;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;

/** The queue against the JDK's. */
class BestFirstQueueTest {

    private record Entry(int cell, float quality) {}

    @Property(tries = 40, seed = "8")
    void comesOutAsFromTheJdksQueue(
            @ForAll @IntRange(min = 1, max = 200) int cells, @ForAll long seed) {
        Random random = new Random(seed);
        BestFirstQueue queue = new BestFirstQueue(cells);
        queue.clear();
        PriorityQueue<Entry> expected =
                new PriorityQueue<>(
                        Comparator.comparing((Entry e) -> -e.quality).thenComparing(Entry::cell));
        int next = 0;
        while (next < cells || !expected.isEmpty()) {
            if (next < cells && random.nextBoolean()) {
                // Few different values, so that ties are common.
                float quality = random.nextInt(8) / 8f;
                int cell = cells - 1 - next;
                queue.add(cell, quality);
                expected.add(new Entry(cell, quality));
                next++;
            } else if (!expected.isEmpty()) {
                assertEquals(expected.remove().cell, queue.removeBest());
            }
            assertEquals(expected.isEmpty(), queue.isEmpty());
        }
        assertTrue(queue.isEmpty());
    }
}
