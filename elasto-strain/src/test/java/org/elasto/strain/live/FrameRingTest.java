package org.elasto.strain.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.concurrent.atomic.AtomicLong;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

class FrameRingTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(4, 200, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private final RfFrame[] slots = new RfFrame[6];

    {
        for (int i = 0; i < slots.length; i++) {
            slots[i] = RfFrame.allocate(GEOMETRY, SampleType.INT16);
        }
    }

    private static RfFrame frame(short value) {
        short[] samples = new short[800];
        java.util.Arrays.fill(samples, value);
        return RfFrame.of(GEOMETRY, samples).stamp(value, 10L * value);
    }

    @Test
    void theOldestWaitingFramesAreDropped() {
        FrameRing ring = new FrameRing(slots, 3);
        int dropped = 0;
        for (short i = 0; i < 10; i++) {
            dropped += ring.put(frame(i));
        }
        assertEquals(7, dropped);
        for (int expected = 7; expected < 10; expected++) {
            int slot = ring.take();
            assertEquals(expected, slots[slot].index());
            assertEquals(10L * expected, slots[slot].timeNanos());
            ring.release(slot);
        }
        assertEquals(-1, ring.take());
        assertEquals(0, ring.waiting());
    }

    @Test
    void framesThatAreHeldAreNotOverwritten() {
        FrameRing ring = new FrameRing(slots, 3);
        ring.put(frame((short) 1));
        int held = ring.take();
        for (short i = 2; i < 30; i++) {
            ring.put(frame(i));
        }
        assertEquals(1, slots[held].index());
        float[] line = new float[200];
        slots[held].readLine(3, line, 0);
        assertEquals(1, line[199]);
    }

    /** Two threads hand over as fast as they can, one takes: nothing torn, lost or out of order. */
    @Test
    @Timeout(60)
    void everyFrameIsTakenWholeOrCounted() throws InterruptedException {
        FrameRing ring = new FrameRing(slots, 3);
        int each = 3000;
        AtomicLong dropped = new AtomicLong();
        Thread[] producers = new Thread[2];
        for (int p = 0; p < producers.length; p++) {
            int sign = p == 0 ? 1 : -1;
            producers[p] =
                    new Thread(
                            () -> {
                                for (int i = 1; i <= each; i++) {
                                    int result = ring.put(frame((short) (sign * i)));
                                    dropped.addAndGet(result < 0 ? -result : result);
                                }
                            });
            producers[p].start();
        }
        long taken = 0;
        long[] last = new long[2];
        float[] line = new float[200];
        while (producers[0].isAlive() || producers[1].isAlive() || ring.waiting() > 0) {
            int slot = ring.take();
            if (slot < 0) {
                Thread.onSpinWait();
                continue;
            }
            long index = slots[slot].index();
            for (int l = 0; l < 4; l++) {
                slots[slot].readLine(l, line, 0);
                for (float sample : line) {
                    assertEquals(index, sample);
                }
            }
            int who = index > 0 ? 0 : 1;
            assertTrue(Math.abs(index) > last[who], "out of order");
            last[who] = Math.abs(index);
            ring.release(slot);
            taken++;
        }
        assertEquals(2L * each, taken + dropped.get());
        assertTrue(taken > 0);
    }
}
