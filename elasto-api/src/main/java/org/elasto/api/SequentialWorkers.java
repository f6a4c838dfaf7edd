package org.elasto.api;

/** The caller's thread alone. */
final class SequentialWorkers implements Workers {

    static final SequentialWorkers INSTANCE = new SequentialWorkers();

    @Override
    public int count() {
        return 1;
    }

    @Override
    public void run(int tasks, Task task) {
        SharedRun.check(tasks, task);
        for (int i = 0; i < tasks; i++) {
            task.run(i, 0);
        }
    }

    @Override
    public void close() {}
}
