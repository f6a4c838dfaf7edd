package org.elasto.strain.live;

/** A stage of the work on a frame, for which time is counted. */
public enum Stage {
    /** Looking at a few lines: contact, motion since the frame before, choice of a partner. */
    SCOUTING,
    /** Displacement. */
    TRACKING,
    /** Strain. */
    DIFFERENTIATING,
    /**
     * Quality metrics, and beside them the strain of the surroundings that strain is related to.
     */
    JUDGING,
    /** Strain relative to its surroundings, and the average over time. */
    AVERAGING,
    /** Echo and strain picture. */
    DRAWING
}
