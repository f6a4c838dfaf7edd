package org.elasto.api;

import java.util.concurrent.Executor;

/**
 * The threads that a caller lends to an estimator. Work is split into numbered tasks whose results
 * do not depend on who does them, so that any number of workers gives the same bits. Each worker
 * begins with a stretch of the numbers for itself: where tasks of the same number meet the same
 * memory from run to run, it stays with one processor.
 *
 * <p>One set of workers serves one {@link #run} at a time; a second one, from another thread or
 * from within a task, is refused. Only {@link #sequential} workers, which own nothing, serve any
 * number of callers. After the first run, workers allocate nothing; what the executor behind {@link
 * #on} does is its own affair.
 */
public interface Workers extends AutoCloseable {

    /** One piece of a piece of work. */
    @FunctionalInterface
    interface Task {
        /**
         * Does one task.
         *
         * @param task task number, from 0
         * @param worker number of the worker that does it, from 0 and below {@link Workers#count};
         *     no two tasks run at the same time with the same worker number, so that it may index
         *     workspace
         */
        void run(int task, int worker);
    }

    /**
     * Number of workers, the caller's own thread included.
     *
     * @return at least 1
     */
    int count();

    /**
     * Runs all tasks and returns when the last is done. What tasks wrote is visible to the caller
     * afterwards.
     *
     * <p>A thread that is interrupted meanwhile still does all tasks; the interrupt stays pending.
     *
     * @param tasks number of tasks, 0 or more
     * @param task what to do for each
     * @throws IllegalArgumentException if the number of tasks is negative or above 2147481599
     * @throws IllegalStateException if these workers are closed or already at work
     * @throws RuntimeException the first exception that a task threw, after all tasks already begun
     *     have ended, with the exceptions of those as suppressed ones; tasks not yet begun are left
     *     out. Errors are passed on in the same way.
     */
    void run(int tasks, Task task);

    /**
     * Ends the threads that these workers own, without waiting for them; workers that own none do
     * nothing. A run that is under way, in whatever thread, is finished first.
     */
    @Override
    void close();

    /**
     * No other threads: the caller does everything, in order.
     *
     * @return workers to be used by any number of threads at the same time
     */
    static Workers sequential() {
        return SequentialWorkers.INSTANCE;
    }

    /**
     * The caller's thread and {@code n - 1} daemon threads that live until {@link #close}.
     *
     * <p>Where there are processors for all of them, they look for work for 0.1 ms after a run
     * before they sleep, since to wake a thread takes as long as many a run. A worker whose
     * processor is taken away in the middle of a task is waited for: more workers than processors
     * that have nothing else to do cost more than they gain.
     *
     * @param n number of workers, 1 to 1024
     * @return the workers
     */
    static Workers threads(int n) {
        return new ThreadWorkers(Check.range("number of workers", n, 1, 1024));
    }

    /**
     * The caller's thread and up to {@code n - 1} helpers at a time on the caller's own executor.
     * If the executor is busy, the caller's thread does all the work; it may even be the executor's
     * only thread. If the executor refuses a helper, the refusal is passed on when the tasks
     * already begun have ended.
     *
     * <p>A helper that has not been begun when its run ends stays in the executor's queue and joins
     * a later run. An executor must therefore not drop what it has accepted: such a helper would
     * never be seen again.
     *
     * @param executor runs the helpers; not closed by {@link #close}
     * @param n number of workers, 1 to 1024
     * @return the workers
     */
    static Workers on(Executor executor, int n) {
        return new ExecutorWorkers(executor, Check.range("number of workers", n, 1, 1024));
    }
}
