package org.elasto.api;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;

/** Counts the bytes that a piece of code allocates once it is warm. */
public final class Allocation {

    private static final ThreadMXBean THREADS = (ThreadMXBean) ManagementFactory.getThreadMXBean();

    private static final int CALLS = 200;

    private Allocation() {}

    /**
     * Bytes that 200 calls allocate on the calling thread, after a warm-up: the least of three
     * rounds, since linking and compiling may still allocate in the first.
     */
    public static long ofCalls(Runnable code) {
        return ofCalls(code, Thread.currentThread());
    }

    /** As {@link #ofCalls(Runnable)}, with what another thread allocates meanwhile added. */
    static long ofCalls(Runnable code, Thread other) {
        for (int i = 0; i < 2000; i++) {
            code.run();
        }
        long least = Long.MAX_VALUE;
        for (int round = 0; round < 3; round++) {
            long others = ofThread(other);
            long before = THREADS.getCurrentThreadAllocatedBytes();
            for (int i = 0; i < CALLS; i++) {
                code.run();
            }
            long bytes = THREADS.getCurrentThreadAllocatedBytes() - before;
            bytes += ofThread(other) - others;
            least = Math.min(least, bytes);
        }
        return least;
    }

    private static long ofThread(Thread thread) {
        return thread == Thread.currentThread()
                ? 0
                : THREADS.getThreadAllocatedBytes(thread.getId());
    }
}
