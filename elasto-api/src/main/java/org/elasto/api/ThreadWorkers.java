package org.elasto.api;

import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.locks.LockSupport;

/**
 * The caller's thread and daemon threads that join its runs. A helper that has not joined a run
 * when it ends is called off, so that nobody waits for a thread to wake.
 *
 * <p>The runs of one frame follow each other within microseconds, and to wake a sleeping thread
 * takes some tens of them (measured: 25 to 60 us, as long as many a run). So whoever waits looks
 * around for a while before it sleeps.
 */
final class ThreadWorkers implements Workers {

    /** How long to look around before sleeping (ns): a small share of a frame's 20 ms. */
    private static final long LOOK_AROUND = 100_000;

    /** Looks at what is waited for between two looks at the clock. */
    private static final int LOOKS = 16;

    private final SharedRun run;
    private final Helper[] helpers;
    private final boolean lookAround;
    private volatile boolean closed;
    private volatile Thread waiting;

    ThreadWorkers(int count) {
        // Where threads have to share processors, looking around keeps others from working.
        lookAround = count <= Runtime.getRuntime().availableProcessors();
        run = new SharedRun(count);
        helpers = new Helper[count - 1];
        try {
            for (int i = 0; i < helpers.length; i++) {
                helpers[i] = new Helper(i + 1);
                helpers[i].setDaemon(true);
                helpers[i].start();
            }
        } catch (Throwable noMoreThreads) {
            close();
            throw noMoreThreads;
        }
    }

    @Override
    public int count() {
        return helpers.length + 1;
    }

    @Override
    public void run(int tasks, Task task) {
        run.begin(tasks, task);
        if (closed) {
            run.end();
            throw new IllegalStateException("these workers are closed");
        }
        int wanted = Math.min(helpers.length, tasks - 1);
        for (int i = 0; i < wanted; i++) {
            helpers[i].offer();
        }
        run.work(0);
        boolean interrupted = false;
        for (int i = 0; i < wanted; i++) {
            interrupted |= helpers[i].finish();
        }
        if (interrupted) {
            Thread.currentThread().interrupt();
        }
        SharedRun.rethrow(run.end());
    }

    @Override
    public void close() {
        closed = true;
        for (Helper helper : helpers) {
            LockSupport.unpark(helper);
        }
    }

    private final class Helper extends Thread {

        private static final int IDLE = 0;

        /** There is a run to join. */
        private static final int OFFERED = 1;

        private static final int WORKING = 2;

        private final AtomicInteger state = new AtomicInteger();
        private final int worker;
        private volatile boolean asleep;

        Helper(int worker) {
            super("elasto-worker-" + worker);
            this.worker = worker;
        }

        void offer() {
            state.set(OFFERED);
            if (asleep) {
                LockSupport.unpark(this);
            }
        }

        /** Waits for the helper if it has joined; returns whether the wait was interrupted. */
        boolean finish() {
            if (state.compareAndSet(OFFERED, IDLE) || !stays(WORKING)) {
                return false;
            }
            boolean interrupted = false;
            waiting = Thread.currentThread();
            while (state.get() == WORKING) {
                LockSupport.park(ThreadWorkers.this);
                // A pending interrupt would make park return at once for ever; keep it for later.
                interrupted |= Thread.interrupted();
            }
            waiting = null;
            return interrupted;
        }

        @Override
        public void run() {
            while (awaitRun()) {
                run.work(worker);
                state.set(IDLE);
                Thread caller = waiting;
                if (caller != null) {
                    LockSupport.unpark(caller);
                }
            }
        }

        /** Joins the next run; false if there will be none. */
        private boolean awaitRun() {
            while (!closed) {
                if (stays(IDLE)) {
                    asleep = true;
                    if (state.get() == IDLE && !closed) {
                        LockSupport.park(ThreadWorkers.this);
                        Thread.interrupted();
                    }
                    asleep = false;
                } else if (state.compareAndSet(OFFERED, WORKING)) {
                    return true;
                }
            }
            return false;
        }

        /** Looks around for a while; returns whether the state is the same still. */
        private boolean stays(int same) {
            if (lookAround && state.get() == same) {
                long start = System.nanoTime();
                do {
                    for (int i = 0; i < LOOKS; i++) {
                        if (state.get() != same) {
                            return false;
                        }
                        Thread.onSpinWait();
                    }
                } while (!closed && System.nanoTime() - start < LOOK_AROUND);
            }
            return state.get() == same;
        }
    }
}
