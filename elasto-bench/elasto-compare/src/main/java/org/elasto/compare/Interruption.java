package org.elasto.compare;

import java.io.InterruptedIOException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;

/**
 * What happens when somebody ends the program in the middle of its work: the command is told by an
 * interrupt, clears away what is half done, and says so; only then does the program end.
 */
final class Interruption {

    private static final long PATIENCE_SECONDS = 20;
    private static volatile boolean asked;

    private Interruption() {}

    /** Lets the thread that runs the command clear up before the program ends. */
    static CountDownLatch watch() {
        Thread command = Thread.currentThread();
        CountDownLatch finished = new CountDownLatch(1);
        Thread hook =
                new Thread(
                        () -> {
                            if (finished.getCount() == 0) {
                                return;
                            }
                            asked = true;
                            command.interrupt();
                            try {
                                finished.await(PATIENCE_SECONDS, TimeUnit.SECONDS);
                            } catch (InterruptedException e) {
                                Thread.currentThread().interrupt();
                            }
                        },
                        "elasto-interruption");
        Runtime.getRuntime().addShutdownHook(hook);
        return finished;
    }

    /** Whether the program has been asked to end. */
    static boolean asked() {
        return asked;
    }

    /** Throws if the command has been interrupted; called wherever work can be given up. */
    static void check() throws InterruptedIOException {
        if (Thread.currentThread().isInterrupted()) {
            throw new InterruptedIOException(MESSAGE);
        }
    }

    /** What is said then. */
    static final String MESSAGE =
            "interrupted; nothing half-written is left under its final name. Run the same command"
                    + " again; a comparison goes on where it stopped";
}
