package org.elasto.api.plugin;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;

/**
 * A displacement estimator that can hold frames in its own prepared form, so that a frame that is
 * compared more than once, as every frame of a stream is, is prepared only once.
 *
 * <p>Frames are held in numbered slots. What is in a slot depends on the frame's samples at the
 * time of {@link #hold} alone: the frame itself is neither kept nor modified, and its owner may
 * refill it at once. A field from held frames has the same bits as one by {@link #estimate} of the
 * same two frames. The slots are not touched by {@link #estimate}. Used by one thread at a time,
 * like every estimator; after {@link #reserve} and warm-up a call allocates nothing.
 */
public interface FrameHoldingEstimator extends DisplacementEstimator {

    /**
     * Makes room for frames. Everything held so far is forgotten.
     *
     * @param slots number of slots, numbered from 0; 0 or more
     * @throws IllegalArgumentException if the number is negative
     */
    void reserve(int slots);

    /**
     * Prepares a frame and holds it in a slot, in place of what was there.
     *
     * @param slot the slot
     * @param frame the frame
     * @throws IllegalArgumentException if there is no such slot, or the frame's geometry is another
     */
    void hold(int slot, RfFrame frame);

    /**
     * Estimates the motion from one held frame to another, as {@link #estimate} does.
     *
     * @param referenceSlot slot of the first frame
     * @param movedSlot slot of the second frame; may be the same
     * @param out receives the field; made by {@link #newField} or with an equal layout
     * @throws IllegalArgumentException if there is no such slot, nothing is held in it, or the
     *     field's layout is another
     */
    void estimateHeld(int referenceSlot, int movedSlot, DisplacementField out);
}
