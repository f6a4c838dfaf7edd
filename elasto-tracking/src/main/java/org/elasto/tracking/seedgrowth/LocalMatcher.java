package org.elasto.tracking.seedgrowth;

import org.elasto.tracking.shared.BasebandFrame;

/**
 * Finds the displacement of one small piece of tissue from a first guess near the truth. Each
 * instance is workspace of one worker; a call allocates nothing. The answer depends on nothing but
 * the arguments.
 */
interface LocalMatcher {

    /**
     * Matches the piece around a place.
     *
     * @param a frame in which the place lies
     * @param b frame in which it is sought
     * @param line line of the place, within the frame
     * @param sample baseband sample of the place, within the frame
     * @param guess first guess; receives what was found, with its quality, which is 0 where there
     *     is nothing to match
     */
    void match(BasebandFrame a, BasebandFrame b, int line, int sample, Match guess);

    /** A displacement with its gradient along the line. */
    final class Match {
        /** Axial displacement (m). */
        float axial;

        /** Change of the axial displacement from sample to sample (m). */
        float gradient;

        /** Lateral displacement (lines). */
        float lateral;

        /** Match: magnitude of the normalised correlation, 0 to 1. */
        float quality;

        void set(float newAxial, float newGradient, float newLateral) {
            axial = newAxial;
            gradient = newGradient;
            lateral = newLateral;
            quality = 0;
        }
    }
}
