package org.elasto.strain.shared;

/** What counts as a known displacement, and how much it weighs. Stateless and thread-safe. */
public final class Precision {

    /** Deviations are taken as no smaller than this (m): none silences the others. */
    static final double SMALLEST_DEVIATION = 1e-9;

    /** A larger deviation (m) says that nothing is known. */
    static final float LARGEST_DEVIATION = 1e-4f;

    private Precision() {}

    /**
     * One over the deviation of a displacement.
     *
     * @param displacement displacement (m)
     * @param deviation its predicted deviation (m)
     * @param correlation its match correlation
     * @return 1/s for a deviation s, never more than 1/nm; 0 if the displacement counts as unknown:
     *     no correlation, not finite, or a deviation above 0.1 mm
     */
    public static double of(float displacement, float deviation, float correlation) {
        return isKnown(displacement, deviation, correlation)
                ? 1 / Math.max(deviation, SMALLEST_DEVIATION)
                : 0;
    }

    /** Whether {@link #of} is more than 0. */
    static boolean isKnown(float displacement, float deviation, float correlation) {
        return correlation > 0
                && deviation >= 0
                && deviation <= LARGEST_DEVIATION
                && Math.abs(displacement) <= Float.MAX_VALUE;
    }
}
