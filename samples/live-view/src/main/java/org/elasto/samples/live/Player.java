package org.elasto.samples.live;

import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.locks.LockSupport;
import org.elasto.api.RfFrame;

/**
 * Stands in for the acquisition: hands a frame over every 20 ms, unless paused. All methods may be
 * called from any thread.
 */
final class Player implements AutoCloseable {

    static final long PERIOD_NANOS = 20_000_000;

    private final Thread thread;
    private final AtomicInteger steps = new AtomicInteger();
    private volatile Imaging imaging;
    private volatile Feed feed;
    private volatile boolean paused;
    private volatile boolean lifted;
    private volatile boolean closed;
    private volatile long played;

    Player() {
        thread = new Thread(this::run, "player");
        thread.setDaemon(true);
        thread.start();
    }

    /** From now on plays these frames into that session; null for none. */
    synchronized void play(Feed newFeed, Imaging newImaging) {
        feed = newFeed;
        imaging = newImaging;
    }

    void setPaused(boolean value) {
        paused = value;
        steps.set(0);
        LockSupport.unpark(thread);
    }

    boolean isPaused() {
        return paused;
    }

    /** While paused: hands over one more frame. */
    void step() {
        steps.incrementAndGet();
        LockSupport.unpark(thread);
    }

    void setLifted(boolean value) {
        lifted = value;
    }

    boolean isLifted() {
        return lifted;
    }

    /** Frames handed over so far. */
    long played() {
        return played;
    }

    private void run() {
        long due = System.nanoTime();
        long index = 0;
        while (!closed) {
            boolean wanted = !paused || steps.getAndUpdate(n -> Math.max(0, n - 1)) > 0;
            if (wanted && handOver(index)) {
                index++;
                played = index;
            }
            due += PERIOD_NANOS;
            long left = due - System.nanoTime();
            if (left < -10 * PERIOD_NANOS) {
                due = System.nanoTime(); // the machine was away; frames are not made up for
            }
            while (left > 0 && !closed) {
                LockSupport.parkNanos(left);
                left = due - System.nanoTime();
            }
        }
    }

    /** Holds the lock, so that no session is closed and no feed let go meanwhile. */
    private synchronized boolean handOver(long index) {
        if (feed == null || imaging == null) {
            return false;
        }
        RfFrame frame = feed.next(lifted);
        if (frame == null) {
            return false;
        }
        imaging.offer(frame.stamp(index, index * PERIOD_NANOS));
        return true;
    }

    @Override
    public void close() {
        closed = true;
        LockSupport.unpark(thread);
        Threads.join(thread);
    }
}
