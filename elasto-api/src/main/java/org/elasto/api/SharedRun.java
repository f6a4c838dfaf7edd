package org.elasto.api;

import java.util.Objects;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicIntegerArray;
import java.util.concurrent.atomic.AtomicReference;

/**
 * One run that several threads share. Each has a stretch of the tasks for itself, so that it meets
 * from run to run what its own processor still has at hand, and takes from the others' stretches
 * when its own is done. Used again for every run, so that nothing is allocated.
 */
final class SharedRun {

    /** So many that the counter cannot overflow when every worker has looked for one more. */
    static final int MAX_TASKS = Integer.MAX_VALUE - 2048;

    private static final int APART = 32;

    private final AtomicBoolean busy = new AtomicBoolean();

    /** The next task of each stretch, far enough apart for processors not to share cache lines. */
    private final AtomicIntegerArray next;

    /** How many may take part, and do. */
    private final int workers;

    private int stretches;
    private final AtomicReference<Throwable> failure = new AtomicReference<>();
    private int tasks;
    private Workers.Task task;

    /** A run for so many workers. */
    SharedRun(int workers) {
        this.workers = workers;
        next = new AtomicIntegerArray(workers * APART);
    }

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
        stretches = Math.max(1, Math.min(workers, tasks));
        for (int i = 0; i < stretches; i++) {
            next.set(i * APART, first(i));
        }
    }

    /** First task of a stretch. */
    private int first(int stretch) {
        return (int) ((long) tasks * stretch / stretches);
    }

    /** Takes tasks until none is left or one has failed. */
    void work(int worker) {
        try {
            for (int i = 0; i < stretches; i++) {
                work((worker + i) % stretches, worker);
            }
        } catch (Throwable thrown) {
            fail(thrown);
        }
    }

    private void work(int stretch, int worker) {
        Workers.Task mine = task;
        int end = first(stretch + 1);
        for (int i = next.getAndIncrement(stretch * APART);
                i < end && failure.get() == null;
                i = next.getAndIncrement(stretch * APART)) {
            mine.run(i, worker);
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
