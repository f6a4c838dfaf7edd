package org.elasto.tracking.shared;

import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.plugin.FrameHoldingEstimator;

/**
 * What all trackers that need nothing of a frame but its baseband have in common: two frames are
 * converted, or taken from among those that are held, and tracked.
 */
public abstract class PairTracker implements FrameHoldingEstimator {

    /** Memory for two frames, and what they are like. */
    protected final FramePair pair;

    /** First frame of the pair at hand. */
    protected BasebandFrame reference;

    /** Second frame of the pair at hand. */
    protected BasebandFrame moved;

    private BasebandFrame[] held = {};
    private boolean[] filled = {};

    /**
     * Makes a tracker.
     *
     * @param pair memory for two frames
     */
    protected PairTracker(FramePair pair) {
        this.pair = pair;
        reference = pair.reference;
        moved = pair.moved;
    }

    /**
     * Tracks from {@link #reference} to {@link #moved}.
     *
     * @param out receives the field; of this tracker's layout
     */
    protected abstract void track(DisplacementField out);

    @Override
    public final void estimate(RfFrame first, RfFrame second, DisplacementField out) {
        pair.load(first, second, out, layout());
        reference = pair.reference;
        moved = pair.moved;
        track(out);
    }

    @Override
    public final void reserve(int slots) {
        BasebandFrame[] frames = new BasebandFrame[Check.range("slots", slots, 0, 1 << 20)];
        for (int i = 0; i < slots; i++) {
            // Memory that is there already serves again.
            frames[i] = i < held.length ? held[i] : pair.reference.another();
        }
        held = frames;
        filled = new boolean[slots];
    }

    @Override
    public final void hold(int slot, RfFrame frame) {
        checkSlot("slot", slot);
        pair.check("geometry of the frame", frame);
        filled[slot] = false;
        held[slot].load(frame);
        filled[slot] = true;
    }

    @Override
    public final void estimateHeld(int referenceSlot, int movedSlot, DisplacementField out) {
        checkHeld("slot of the first frame", referenceSlot);
        checkHeld("slot of the second frame", movedSlot);
        Check.same("layout of the field", out.layout(), layout());
        reference = held[referenceSlot];
        moved = held[movedSlot];
        track(out);
    }

    private void checkSlot(String what, int slot) {
        if (slot < 0 || slot >= held.length) {
            throw new IllegalArgumentException(
                    what
                            + " is "
                            + slot
                            + "; there are "
                            + held.length
                            + " slots, numbered from 0, as reserved");
        }
    }

    private void checkHeld(String what, int slot) {
        checkSlot(what, slot);
        if (!filled[slot]) {
            throw new IllegalArgumentException(
                    what + " is " + slot + "; no frame has been held in it yet");
        }
    }
}
