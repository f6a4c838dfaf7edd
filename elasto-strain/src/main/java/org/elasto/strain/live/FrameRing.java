package org.elasto.strain.live;

import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.atomic.AtomicLongArray;
import org.elasto.api.RfFrame;

/**
 * A fixed number of frames that go from acquisition to the session and back, without locks. Whoever
 * hands over a frame never waits: if too many wait already, the oldest of them is dropped.
 *
 * <p>Any thread may hand over, one takes. Allocates nothing after it is made.
 */
final class FrameRing {

    private static final long FREE = -1;
    private static final long WRITING = -2;
    private static final long TAKEN = -3;

    private final RfFrame[] slots;
    private final int mostWaiting;

    /**
     * One of the above, or, for a frame that waits, its number in the order of coming. So a slot
     * that was freed and filled again in the meantime is never taken for the older frame.
     */
    private final AtomicLongArray state;

    private final AtomicLong sequence = new AtomicLong();

    /** When each frame came; written before it is ready, read after. */
    private final long[] offeredNanos;

    FrameRing(RfFrame[] slots, int mostWaiting) {
        this.slots = slots;
        this.mostWaiting = mostWaiting;
        state = new AtomicLongArray(slots.length);
        for (int i = 0; i < slots.length; i++) {
            state.set(i, FREE);
        }
        offeredNanos = new long[slots.length];
    }

    /**
     * Copies a frame in.
     *
     * @return how many waiting frames were dropped for it, or -1 if it was itself, because other
     *     threads hand over so many at the same time that none is free
     */
    int put(RfFrame frame) {
        int dropped = 0;
        while (waiting() >= mostWaiting) {
            dropped += dropOldest() ? 1 : 0;
        }
        int slot = claim();
        while (slot < 0) {
            if (!dropOldest()) {
                return -1 - dropped;
            }
            dropped++;
            slot = claim();
        }
        boolean copied = false;
        try {
            offeredNanos[slot] = System.nanoTime();
            slots[slot].copyFrom(frame);
            copied = true;
        } finally {
            state.set(slot, copied ? sequence.getAndIncrement() : FREE);
        }
        return dropped;
    }

    private int claim() {
        for (int i = 0; i < slots.length; i++) {
            if (state.get(i) == FREE && state.compareAndSet(i, FREE, WRITING)) {
                return i;
            }
        }
        return -1;
    }

    private boolean dropOldest() {
        return takeOldest(FREE) >= 0;
    }

    /** The oldest waiting frame's slot, in a new state; -1 if none waits or another was faster. */
    private int takeOldest(long newState) {
        int oldest = -1;
        long least = Long.MAX_VALUE;
        for (int i = 0; i < slots.length; i++) {
            long number = state.get(i);
            if (number >= 0 && number < least) {
                least = number;
                oldest = i;
            }
        }
        return oldest >= 0 && state.compareAndSet(oldest, least, newState) ? oldest : -1;
    }

    /** Number of frames that wait. */
    int waiting() {
        int count = 0;
        for (int i = 0; i < slots.length; i++) {
            count += state.get(i) >= 0 ? 1 : 0;
        }
        return count;
    }

    /** The oldest waiting frame's slot, now the taker's; -1 if none waits. */
    int take() {
        int slot = -1;
        while (slot < 0 && waiting() > 0) {
            slot = takeOldest(TAKEN);
        }
        return slot;
    }

    /** Gives a slot back. */
    void release(int slot) {
        state.set(slot, FREE);
    }

    /** When the frame in a slot was handed over. */
    long offeredNanos(int slot) {
        return offeredNanos[slot];
    }
}
