package org.elasto.strain.live;

import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import java.util.concurrent.atomic.AtomicReferenceArray;
import java.util.concurrent.locks.LockSupport;
import org.elasto.api.RfFrame;

/**
 * Strain imaging beside an acquisition: takes frames as they come and always has the newest
 * finished image at hand.
 *
 * <p>{@link #offer} copies a frame and returns; it never waits and allocates nothing. One daemon
 * thread works on the frames in the order they came; when it is behind, the oldest waiting frame is
 * dropped and counted. {@link #take} hands out the newest image that has not been taken.
 *
 * <p>A plugin that throws, or gives what its contract forbids, costs its frame and is named to the
 * listener; the session goes on. All methods may be called from any thread.
 */
public final class LiveSession implements AutoCloseable {

    private static final int IMAGES = 4;
    private static final long CLOSE_WAIT_MILLIS = 5000;

    private final LiveSetup.Parts parts;
    private final Tally tally = new Tally();
    private final RfFrame[] slots;
    private final FrameRing ring;
    private final LiveEngine engine;
    private final AtomicReferenceArray<LiveImage> free = new AtomicReferenceArray<>(IMAGES);
    private final AtomicReference<LiveImage> ready = new AtomicReference<>();

    /** Never handed out: for frames whose image nobody has room for. */
    private final LiveImage spare;

    private final Thread thread;
    private volatile boolean closed;
    private volatile boolean busy;
    private volatile Throwable end;

    LiveSession(LiveSetup.Parts parts) {
        this.parts = parts;
        slots = new RfFrame[parts.config().heldFrames() + parts.config().waitingFrames() + 3];
        for (int i = 0; i < slots.length; i++) {
            slots[i] = RfFrame.allocate(parts.geometry(), parts.sampleType());
        }
        ring = new FrameRing(slots, parts.config().waitingFrames());
        engine = new LiveEngine(parts, slots, tally);
        for (int i = 0; i < IMAGES; i++) {
            free.set(i, engine.newImage(this));
        }
        spare = engine.newImage(this);
        thread = new Thread(this::run, "elasto live session");
        thread.setDaemon(true);
        thread.start();
    }

    /**
     * Hands over a frame. Copies it and returns at once.
     *
     * @param frame the next frame; neither modified nor kept
     * @return whether it was taken in; false if its geometry or sample type is another, which is
     *     counted, or if the session is closed, which is not
     */
    public boolean offer(RfFrame frame) {
        if (closed) {
            return false;
        }
        tally.framesIn.incrementAndGet();
        try {
            LiveSteps.check(parts, frame);
        } catch (IllegalArgumentException e) {
            tally.refuse(Refusal.WRONG_SHAPE);
            return false;
        }
        int dropped = ring.put(frame);
        if (dropped < 0) {
            tally.dropped.addAndGet(-dropped);
            return false;
        }
        tally.dropped.addAndGet(dropped);
        if (closed) {
            // Perhaps too late for the thread to see it.
            dropWaiting();
            return false;
        }
        LockSupport.unpark(thread);
        return true;
    }

    /**
     * The newest finished image that has not been taken; the taker closes it.
     *
     * @return the image, or null if there is no new one
     */
    public LiveImage take() {
        LiveImage image = ready.getAndSet(null);
        if (image != null) {
            image.markTaken();
            tally.taken.incrementAndGet();
        }
        return image;
    }

    /**
     * Changes the half-life of the average, from the next frame on; what has been averaged stays.
     *
     * @param seconds as {@link LiveConfig#halfLife}
     * @throws IllegalArgumentException if it is out of range
     */
    public void setHalfLife(double seconds) {
        LiveConfig.schema().parse(parts.config(), "half-life=" + seconds);
        engine.setHalfLife(seconds);
    }

    /**
     * What has been done so far.
     *
     * @return a snapshot
     */
    public LiveCounters counters() {
        return tally.snapshot();
    }

    /**
     * Waits until no frame waits or is being worked on.
     *
     * @param timeout how long at most
     * @param unit unit of it
     * @return whether that was so in time
     * @throws InterruptedException if interrupted while waiting
     */
    public boolean awaitIdle(long timeout, TimeUnit unit) throws InterruptedException {
        long deadline = System.nanoTime() + unit.toNanos(timeout);
        while (ring.waiting() > 0 || busy) {
            if (System.nanoTime() - deadline > 0 || !thread.isAlive()) {
                return false;
            }
            Thread.sleep(0, 200_000);
        }
        return true;
    }

    /**
     * Why the session has ended by itself, if it has: an error that is none of a plugin's, such as
     * running out of memory.
     *
     * @return what was thrown; null if nothing was
     */
    public Throwable end() {
        return end;
    }

    /**
     * Ends the session: frames that wait are dropped, the one that is being worked on is finished.
     * Waits for that for up to five seconds, after which the thread is interrupted and left to
     * itself.
     */
    @Override
    public void close() {
        closed = true;
        LockSupport.unpark(thread);
        if (Thread.currentThread() == thread) {
            return;
        }
        boolean interrupted = false;
        try {
            thread.join(CLOSE_WAIT_MILLIS);
        } catch (InterruptedException e) {
            interrupted = true;
        }
        if (thread.isAlive()) {
            thread.interrupt();
        }
        if (interrupted) {
            Thread.currentThread().interrupt();
        }
    }

    void giveBack(LiveImage image) {
        for (int i = 0; i < IMAGES; i++) {
            if (free.compareAndSet(i, null, image)) {
                return;
            }
        }
        throw new IllegalStateException("an image was given back that is none of this session's");
    }

    private void run() {
        try {
            while (!closed) {
                busy = true;
                int slot = ring.take();
                if (slot < 0) {
                    busy = false;
                    LockSupport.park(this);
                    continue;
                }
                work(slot);
            }
        } catch (Throwable e) {
            end = e;
            closed = true;
            throw e;
        } finally {
            busy = false;
            dropWaiting();
        }
    }

    private void dropWaiting() {
        for (int slot = ring.take(); slot >= 0; slot = ring.take()) {
            tally.dropped.incrementAndGet();
            ring.release(slot);
        }
    }

    private void work(int slot) {
        LiveImage image = room();
        long offered = ring.offeredNanos(slot);
        int freed = engine.process(slot, image);
        if (freed >= 0) {
            ring.release(freed);
        }
        image.offeredNanos = offered;
        image.finishedNanos = System.nanoTime();
        if (image == spare) {
            return;
        }
        long frameIndex = image.frameIndex();
        LiveImage old = ready.getAndSet(image);
        if (old != null) {
            giveBack(old);
        }
        try {
            parts.listener().imageReady(frameIndex);
        } catch (RuntimeException e) {
            tally.failures.incrementAndGet();
        }
    }

    /** An image to write to: a free one, or the one nobody has taken, or the spare one. */
    private LiveImage room() {
        for (int i = 0; i < IMAGES; i++) {
            LiveImage image = free.getAndSet(i, null);
            if (image != null) {
                return image;
            }
        }
        LiveImage image = ready.getAndSet(null);
        return image != null ? image : spare;
    }
}
