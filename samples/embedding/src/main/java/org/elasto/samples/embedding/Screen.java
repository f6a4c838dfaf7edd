package org.elasto.samples.embedding;

import java.util.concurrent.locks.LockSupport;
import org.HdrHistogram.Histogram;
import org.HdrHistogram.Recorder;

/**
 * The scanner's own: a loop that draws sixty times a second whatever is new, and notes how long ago
 * it was acquired. Draws into memory only, where other software would have a window.
 */
final class Screen implements AutoCloseable {

    /** Draws on the screen what is new, if anything is. */
    interface Source {
        void show(Screen screen);
    }

    private static final long PERIOD_NANOS = 1_000_000_000L / 60;
    private static final long LONGEST_NANOS = 60_000_000_000L;

    private final Recorder ages = new Recorder(1000, LONGEST_NANOS, 3);
    private final Thread thread;
    private volatile Source source;
    private volatile boolean closed;
    private volatile long shown;
    private int[] pixels = new int[0];

    Screen() {
        thread = new Thread(this::run, "screen");
        thread.setDaemon(true);
    }

    void start(Source from) {
        source = from;
        thread.start();
    }

    /** Shows a picture; called by the source. */
    void draw(int[] argb, long acquiredNanos) {
        if (pixels.length != argb.length) {
            pixels = new int[argb.length];
        }
        System.arraycopy(argb, 0, pixels, 0, argb.length);
        ages.recordValue(Math.min(LONGEST_NANOS, System.nanoTime() - acquiredNanos));
        shown++;
    }

    long shown() {
        return shown;
    }

    /** Times from acquisition to screen since the last call (ns). */
    Histogram ages(Histogram recycled) {
        return ages.getIntervalHistogram(recycled);
    }

    private void run() {
        long due = System.nanoTime();
        while (!closed) {
            source.show(this);
            due += PERIOD_NANOS;
            LockSupport.parkNanos(due - System.nanoTime());
        }
    }

    @Override
    public void close() {
        closed = true;
        LockSupport.unpark(thread);
        Threads.join(thread);
    }
}
