package org.elasto.api;

import java.util.Objects;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicReference;

/**
 * One run that several threads share: each takes the next task that nobody has taken. Used again
 * for every run, so that nothing is allocated.
 */
final class SharedRun {

    /** So many that the counter cannot overflow when every worker has looked for one more. */
    static final int MAX_TASKS = Integer.MAX_VALUE - 2048;

    private final AtomicBoolean busy = new AtomicBoolean();
    private final AtomicInteger next = new AtomicInteger();
    private final AtomicReference<Throwable> failure = new AtomicReference<>();
    private int tasks;
    private Workers.Task task;

    /** Refuses what no workers can do. */
    static void check(int tasks, Workers.Task task) {
        Check.range("number of tasks", tasks, 0, MAX_TASKS);
        Objects.requireNonNull(task, "task is missing");
    }

    /** Claims the run for one caller. */
    void begin(int newTasks, Workers.Task newTask) {
        check(newTasks, newTask);
        if (!busy.compareAndSet(false, true)) {
            throw new IllegalStateException(
                    "these workers are already at work; give each estimator that runs at the same"
                            + " time workers of its own");
        }
        tasks = newTasks;
        task = newTask;
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

    /** Keeps the first failure; later ones are attached to it. */
    void fail(Throwable thrown) {
        if (!failure.compareAndSet(null, thrown) && failure.get() != thrown) {
            failure.get().addSuppressed(thrown);
        }
    }

    /** Releases the run; no worker may be at work any more. Returns what failed, or null. */
    Throwable end() {
        Throwable thrown = failure.getAndSet(null);
        task = null;
        busy.set(false);
        return thrown;
    }

    static void rethrow(Throwable thrown) {
        if (thrown instanceof RuntimeException runtime) {
            throw runtime;
        }
        if (thrown instanceof Error error) {
            throw error;
        }
        if (thrown != null) {
            throw new IllegalStateException("a task threw a checked exception", thrown);
        }
    }
}
