package org.elasto.api;

import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicReference;

/**
 * One run that several threads share: each takes the next task that nobody has taken. Used again
 * for every run, so that nothing is allocated.
 */
final class SharedRun {

    private final AtomicBoolean busy = new AtomicBoolean();
    private final AtomicInteger next = new AtomicInteger();
    private final AtomicReference<Throwable> failure = new AtomicReference<>();
    private int tasks;
    private Workers.Task task;

    /** Claims the run for one caller. */
    void begin(int newTasks, Workers.Task newTask) {
        if (!busy.compareAndSet(false, true)) {
            throw new IllegalStateException(
                    "these workers are already at work; give each estimator that runs at the same"
                            + " time workers of its own");
        }
        tasks = newTasks;
        task = newTask;
        failure.set(null);
        next.set(0);
    }

    /** Takes tasks until none is left or one has failed. */
    void work(int worker) {
        Workers.Task mine = task;
        int limit = tasks;
        try {
            for (int i = next.getAndIncrement(); i < limit; i = next.getAndIncrement()) {
                if (failure.get() != null) {
                    return;
                }
                mine.run(i, worker);
            }
        } catch (Throwable thrown) {
            fail(thrown);
        }
    }

    void fail(Throwable thrown) {
        failure.compareAndSet(null, thrown);
    }

    /** Releases the run and rethrows what a task threw. */
    void end() {
        Throwable thrown = failure.get();
        task = null;
        busy.set(false);
        if (thrown instanceof RuntimeException runtime) {
            throw runtime;
        }
        if (thrown instanceof Error error) {
            throw error;
        }
        if (thrown != null) {
            throw new IllegalStateException(thrown);
        }
    }
}
