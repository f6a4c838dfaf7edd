package org.elasto.api;

import java.util.Objects;
import java.util.concurrent.Executor;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.locks.LockSupport;

/** The caller's thread and helpers on the caller's own executor. */
final class ExecutorWorkers implements Workers {

    /** What a helper of the current run is doing. */
    private static final int OFFERED = 0;

    private static final int WORKING = 1;
    private static final int DONE = 2;

    private final SharedRun run = new SharedRun();
    private final Executor executor;
    private final int count;
    private volatile Thread waiting;

    ExecutorWorkers(Executor executor, int count) {
        this.executor = Objects.requireNonNull(executor, "executor is missing");
        this.count = count;
    }

    @Override
    public int count() {
        return count;
    }

    @Override
    public void run(int tasks, Task task) {
        run.begin(tasks, task);
        waiting = Thread.currentThread();
        Helper[] helpers = new Helper[Math.min(count, Math.max(tasks, 1)) - 1];
        try {
            for (int i = 0; i < helpers.length; i++) {
                helpers[i] = new Helper(i + 1);
                executor.execute(helpers[i]);
            }
            run.work(0);
        } catch (RuntimeException refused) {
            run.fail(refused);
        }
        boolean interrupted = false;
        for (Helper helper : helpers) {
            // A helper that the executor has not begun yet will find itself cancelled: waiting for
            // it could last for ever on a busy executor.
            while (helper != null
                    && !helper.state.compareAndSet(OFFERED, DONE)
                    && helper.state.get() != DONE) {
                LockSupport.park(this);
                interrupted |= Thread.interrupted();
            }
        }
        waiting = null;
        if (interrupted) {
            Thread.currentThread().interrupt();
        }
        run.end();
    }

    @Override
    public void close() {}

    private final class Helper implements Runnable {
        private final AtomicInteger state = new AtomicInteger(OFFERED);
        private final int worker;

        Helper(int worker) {
            this.worker = worker;
        }

        @Override
        public void run() {
            if (state.compareAndSet(OFFERED, WORKING)) {
                run.work(worker);
                Thread caller = waiting;
                state.set(DONE);
                LockSupport.unpark(caller);
            }
        }
    }
}
