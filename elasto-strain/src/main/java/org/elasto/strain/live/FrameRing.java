package org.elasto.strain.live;

import java.util.concurrent.atomic.AtomicIntegerArray;
import java.util.concurrent.atomic.AtomicLong;
import org.elasto.api.RfFrame;

/**
 * A fixed number of frames that go from acquisition to the session and back, without locks. Whoever
 * hands over a frame never waits: if too many wait already, the oldest of them is dropped.
 *
 * <p>Any thread may hand over, one takes. Allocates nothing after it is made.
 */
final class FrameRing {

    private static final int FREE = 0;
    private static final int WRITING = 1;
    private static final int READY = 2;
    private static final int TAKEN = 3;

    private final RfFrame[] slots;
    private final int mostWaiting;
    private final AtomicIntegerArray state;
    private final AtomicLong sequence = new AtomicLong();

    /** When each frame came, and in which order; written before it is ready, read after. */
    private final long[] order;

    private final long[] offeredNanos;

    FrameRing(RfFrame[] slots, int mostWaiting) {
        this.slots = slots;
        this.mostWaiting = mostWaiting;
        state = new AtomicIntegerArray(slots.length);
        order = new long[slots.length];
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
        while (waiting() >= mostWaiting && free(oldest())) {
            dropped++;
        }
        int slot = claim();
        while (slot < 0) {
            if (!free(oldest())) {
                return -1 - dropped;
            }
            dropped++;
            slot = claim();
        }
        boolean copied = false;
        try {
            offeredNanos[slot] = System.nanoTime();
            slots[slot].copyFrom(frame);
            order[slot] = sequence.getAndIncrement();
            copied = true;
        } finally {
            state.set(slot, copied ? READY : FREE);
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

    private boolean free(int slot) {
        return slot >= 0 && state.compareAndSet(slot, READY, FREE);
    }

    /** Number of frames that wait. */
    int waiting() {
        int count = 0;
        for (int i = 0; i < slots.length; i++) {
            count += state.get(i) == READY ? 1 : 0;
        }
        return count;
    }

    private int oldest() {
        int oldest = -1;
        for (int i = 0; i < slots.length; i++) {
            if (state.get(i) == READY && (oldest < 0 || order[i] < order[oldest])) {
                oldest = i;
            }
        }
        return oldest;
    }

    /** The oldest waiting frame's slot, now the taker's; -1 if none waits. */
    int take() {
        while (true) {
            int slot = oldest();
            if (slot < 0 || state.compareAndSet(slot, READY, TAKEN)) {
                return slot;
            }
        }
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
