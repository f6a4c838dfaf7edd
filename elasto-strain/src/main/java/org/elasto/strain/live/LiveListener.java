package org.elasto.strain.live;

/**
 * Hears of what a session does. Called by the thread that works on the frames; whatever takes time
 * belongs on another one. What a listener throws is counted and otherwise ignored.
 */
public interface LiveListener {

    /**
     * A new image can be taken ({@link LiveSession#take}). The default does nothing.
     *
     * @param frameIndex index of the frame it belongs to
     */
    default void imageReady(long frameIndex) {}

    /**
     * A plugin failed. The default does nothing; {@link LiveCounters#failures} counts it anyway.
     *
     * @param failure what went wrong
     */
    default void failed(LiveFailure failure) {}
}
