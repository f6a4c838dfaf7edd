package org.elasto.api;

import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.locks.LockSupport;

/** The caller's thread and daemon threads that wait for the next run. */
final class ThreadWorkers implements Workers {

    private final SharedRun run = new SharedRun();
    private final Thread[] helpers;
    private final AtomicInteger unfinished = new AtomicInteger();

    /** Counts shared runs; helpers wake when it changes. Written by the run's caller only. */
    private volatile int generation;

    private volatile boolean closed;
    private volatile Thread waiting;

    ThreadWorkers(int count) {
        helpers = new Thread[count - 1];
        try {
            for (int i = 0; i < helpers.length; i++) {
                int worker = i + 1;
                helpers[i] = new Thread(() -> serve(worker), "elasto-worker-" + worker);
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
            wakeHelpers();
            throw new IllegalStateException("these workers are closed");
        }
        if (tasks > 1) {
            waiting = Thread.currentThread();
            unfinished.set(helpers.length);
            generation++;
            wakeHelpers();
        }
        run.work(0);
        awaitHelpers();
        Throwable thrown = run.end();
        if (closed) {
            wakeHelpers();
        }
        SharedRun.rethrow(thrown);
    }

    private void wakeHelpers() {
        for (Thread helper : helpers) {
            LockSupport.unpark(helper);
        }
    }

    private void awaitHelpers() {
        boolean interrupted = false;
        while (unfinished.get() > 0) {
            LockSupport.park(this);
            // A pending interrupt would make park return at once for ever; keep it for later.
            interrupted |= Thread.interrupted();
        }
        waiting = null;
        if (interrupted) {
            Thread.currentThread().interrupt();
        }
    }

    private void serve(int worker) {
        int seen = 0;
        while (true) {
            while (generation == seen) {
                // While a run is under way it may count on this helper: whoever ends the run looks
                // at closed afterwards and wakes the helpers again.
                if (closed && !run.isBusy()) {
                    return;
                }
                LockSupport.park(this);
                Thread.interrupted();
            }
            seen = generation;
            run.work(worker);
            Thread caller = waiting;
            if (unfinished.decrementAndGet() == 0) {
                LockSupport.unpark(caller);
            }
        }
    }

    @Override
    public void close() {
        closed = true;
        wakeHelpers();
    }
}
