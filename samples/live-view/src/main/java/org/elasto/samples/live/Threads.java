package org.elasto.samples.live;

/** Waiting for threads to end. */
final class Threads {

    private Threads() {}

    /** Waits until the thread has ended; an interrupt meanwhile stays pending. */
    static void join(Thread thread) {
        boolean interrupted = false;
        while (thread.isAlive()) {
            try {
                thread.join();
            } catch (InterruptedException e) {
                interrupted = true;
            }
        }
        if (interrupted) {
            Thread.currentThread().interrupt();
        }
    }
}
