package org.elasto.strain.live;

import org.elasto.api.Check;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.Workers;

/**
 * The live session frame by frame, without threads of its own: for recordings, for tests, and for
 * whoever has a thread and a queue already. Gives the same bits as a {@link LiveSession} that
 * worked on the same frames.
 *
 * <p>One thread at a time. After warm-up a step allocates nothing as long as the advice stays the
 * same.
 */
public final class LiveSteps {

    /** Lines of a frame that are copied by one task. */
    private static final int LINES = 16;

    private final LiveSetup.Parts parts;
    private final Tally tally = new Tally();
    private final RfFrame[] slots;
    private final LiveEngine engine;
    private final LiveImage image;
    private final Workers.Task copy = (task, worker) -> copyLines(task);
    private int free = 0;
    private int unused = 1;

    // Of the copy under way.
    private RfFrame source;
    private RfFrame target;

    LiveSteps(LiveSetup.Parts parts) {
        this.parts = parts;
        slots = new RfFrame[parts.config().heldFrames() + 1];
        for (int i = 0; i < slots.length; i++) {
            slots[i] = RfFrame.allocate(parts.geometry(), parts.sampleType());
        }
        engine = new LiveEngine(parts, slots, tally);
        image = engine.newImage(null);
    }

    /**
     * Works on one frame.
     *
     * @param frame the next frame; copied, neither modified nor kept
     * @return what there is to say about it, good until the next step
     * @throws IllegalArgumentException if its geometry is another or it stores floats in a session
     *     of integers; such a frame counts as refused
     */
    public LiveImage step(RfFrame frame) {
        long start = System.nanoTime();
        tally.framesIn.incrementAndGet();
        try {
            check(parts, frame);
        } catch (IllegalArgumentException e) {
            tally.refuse(Refusal.WRONG_SHAPE);
            throw e;
        }
        copy(frame, slots[free]);
        int freed = engine.process(free, image);
        free = freed >= 0 ? freed : unused++;
        image.offeredNanos = start;
        image.finishedNanos = System.nanoTime();
        return image;
    }

    /** By all workers, so that each has in its cache what it reads in a moment. */
    private void copy(RfFrame from, RfFrame to) {
        source = from;
        target = to;
        try {
            parts.workers().run((from.geometry().lines() + LINES - 1) / LINES, copy);
        } finally {
            source = null;
            target = null;
        }
        to.stamp(from.index(), from.timeNanos());
    }

    private void copyLines(int task) {
        int first = task * LINES;
        target.copyLines(source, first, Math.min(LINES, source.geometry().lines() - first));
    }

    static void check(LiveSetup.Parts parts, RfFrame frame) {
        Check.same("geometry of the frame", frame.geometry(), parts.geometry());
        if (parts.sampleType() == SampleType.INT16 && frame.sampleType() != SampleType.INT16) {
            throw new IllegalArgumentException(
                    "the frame stores FLOAT32 and the session INT16; set the session up with"
                            + " sample type FLOAT32");
        }
    }

    /**
     * What has been done so far.
     *
     * @return a snapshot
     */
    public LiveCounters counters() {
        return tally.snapshot();
    }
}
