package org.elasto.conformance;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import org.junit.jupiter.api.Assumptions;

/** Counts the bytes that the calling thread takes from the heap. */
final class Allocation {

    private static final int WARM_UP = 5;
    private static final int CALLS = 2;
    private static final int ROUNDS = 20;

    private Allocation() {}

    /**
     * Bytes that a call takes once warm: the least of several rounds, since what a compiler does
     * behind the scenes may be charged to the thread once, but never every time.
     */
    static double bytesPerCall(Runnable call) {
        ThreadMXBean threads = meter();
        long thread = Thread.currentThread().getId();
        for (int i = 0; i < WARM_UP; i++) {
            call.run();
        }
        // The query itself may allocate the first time.
        threads.getThreadAllocatedBytes(thread);
        long least = Long.MAX_VALUE;
        for (int round = 0; round < ROUNDS && least > 0; round++) {
            long before = threads.getThreadAllocatedBytes(thread);
            for (int i = 0; i < CALLS; i++) {
                call.run();
            }
            least = Math.min(least, threads.getThreadAllocatedBytes(thread) - before);
        }
        return (double) least / CALLS;
    }

    private static ThreadMXBean meter() {
        boolean able =
                ManagementFactory.getThreadMXBean() instanceof ThreadMXBean bean
                        && bean.isThreadAllocatedMemorySupported();
        Assumptions.assumeTrue(able, "this Java machine does not count allocated bytes");
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        threads.setThreadAllocatedMemoryEnabled(true);
        return threads;
    }
}
