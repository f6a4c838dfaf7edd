package org.elasto.api;

import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.locks.LockSupport;

/** The caller's thread and daemon threads that wait for the next run. */
final class ThreadWorkers implements Workers {

    private final SharedRun run = new SharedRun();
    private final Thread[] helpers;
    private final AtomicInteger unfinished = new AtomicInteger();

    /** Counts runs; helpers wake when it changes. Written by the caller only. */
    private volatile int generation;

    private volatile boolean closed;
    private volatile Thread waiting;

    ThreadWorkers(int count) {
        helpers = new Thread[count - 1];
        for (int i = 0; i < helpers.length; i++) {
            int worker = i + 1;
            helpers[i] = new Thread(() -> serve(worker), "elasto-worker-" + worker);
            helpers[i].setDaemon(true);
            helpers[i].start();
        }
    }

    @Override
    public int count() {
        return helpers.length + 1;
    }

    @Override
    public void run(int tasks, Task task) {
        if (closed) {
            throw new IllegalStateException("these workers are closed");
        }
        run.begin(tasks, task);
        boolean interrupted = false;
        waiting = Thread.currentThread();
        unfinished.set(helpers.length);
        generation++;
        for (Thread helper : helpers) {
            LockSupport.unpark(helper);
        }
        run.work(0);
        while (unfinished.get() > 0) {
            LockSupport.park(this);
            // A pending interrupt would make park return at once for ever; keep it for later.
            interrupted |= Thread.interrupted();
        }
        waiting = null;
        if (interrupted) {
            Thread.currentThread().interrupt();
        }
        run.end();
    }

    private void serve(int worker) {
        int seen = 0;
        while (true) {
            while (generation == seen) {
                if (closed) {
                    return;
                }
                LockSupport.park(this);
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
        for (Thread helper : helpers) {
            LockSupport.unpark(helper);
        }
    }
}
