package org.elasto.api;

import java.util.Objects;
import java.util.concurrent.Executor;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.locks.LockSupport;

/** The caller's thread and helpers on the caller's own executor. */
final class ExecutorWorkers implements Workers {

    /** The executor does not hold the helper. */
    private static final int AWAY = 0;

    /** The executor holds the helper, and when it begins there is a run to join. */
    private static final int OFFERED = 1;

    /** The executor holds the helper still, but its run has ended without it. */
    private static final int CALLED_OFF = 2;

    private static final int WORKING = 3;

    private final SharedRun run;
    private final Executor executor;
    private final Helper[] helpers;
    private volatile Thread waiting;

    ExecutorWorkers(Executor executor, int count) {
        this.executor = Objects.requireNonNull(executor, "executor is missing");
        run = new SharedRun(count);
        helpers = new Helper[count - 1];
        for (int i = 0; i < helpers.length; i++) {
            helpers[i] = new Helper(i + 1);
        }
    }

    @Override
    public int count() {
        return helpers.length + 1;
    }

    @Override
    public void run(int tasks, Task task) {
        run.begin(tasks, task);
        waiting = Thread.currentThread();
        try {
            for (int i = 0; i < helpers.length && i < tasks - 1; i++) {
                helpers[i].offer();
            }
        } catch (Throwable refused) {
            run.fail(refused);
        }
        run.work(0);
        boolean interrupted = false;
        for (Helper helper : helpers) {
            interrupted |= helper.finish();
        }
        waiting = null;
        if (interrupted) {
            Thread.currentThread().interrupt();
        }
        SharedRun.rethrow(run.end());
    }

    @Override
    public void close() {}

    /**
     * One place on the executor, used again in every run. A helper that the executor has not begun
     * when its run ends stays where it is and joins a later run, so that a busy executor's queue
     * never holds more than one entry of each helper.
     */
    private final class Helper implements Runnable {
        private final AtomicInteger state = new AtomicInteger(AWAY);
        private final int worker;

        Helper(int worker) {
            this.worker = worker;
        }

        void offer() {
            if (state.compareAndSet(CALLED_OFF, OFFERED)) {
                return;
            }
            state.set(OFFERED);
            try {
                executor.execute(this);
            } catch (Throwable refused) {
                state.compareAndSet(OFFERED, AWAY);
                throw refused;
            }
        }

        @Override
        public void run() {
            while (!state.compareAndSet(OFFERED, WORKING)) {
                // The state changes between the two looks when the caller offers the helper again.
                if (state.compareAndSet(CALLED_OFF, AWAY) || state.get() != OFFERED) {
                    return;
                }
            }
            run.work(worker);
            Thread caller = waiting;
            state.set(AWAY);
            LockSupport.unpark(caller);
        }

        /**
         * Waits for the helper if it has begun and calls it off if not: on a busy executor, waiting
         * for its turn could last for ever. Returns whether the wait was interrupted.
         */
        boolean finish() {
            boolean interrupted = false;
            while (!state.compareAndSet(OFFERED, CALLED_OFF) && state.get() == WORKING) {
                LockSupport.park(this);
                interrupted |= Thread.interrupted();
            }
            return interrupted;
        }
    }
}
