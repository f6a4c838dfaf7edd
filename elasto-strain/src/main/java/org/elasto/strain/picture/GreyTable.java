package org.elasto.strain.picture;

import java.util.Arrays;

/**
 * Brightness of echoes by their {@linkplain Decibels codes}: from 0 to 255, to 0.1, in steps of
 * {@link #STEPS} and half a grey more, so that it is rounded when it is cut off. Not thread-safe
 * while it is set.
 */
final class GreyTable {

    /** Steps of a grey level. */
    static final int STEPS = 128;

    private static final int HALF = STEPS / 2;

    /** Steps from black to white. */
    private static final int RANGE = 255 * STEPS;

    /** Bits of a code that do not matter: 256 places an octave are left. */
    private static final int SHIFT = Decibels.OCTAVE_BITS - 8;

    private static final int PLACES = 1 << Decibels.OCTAVE_BITS - SHIFT;
    private static final double OCTAVE_DB = 10 * Math.log10(2);

    private final double dynamicRange;
    private final int[] greys;

    /** Steps that each place lies above a power of 1. */
    private final int[] steps;

    /** What lies before it is black. */
    private int first;

    /** What lies from it on is white. */
    private int end;

    /**
     * Makes a table in which everything is black.
     *
     * @param octaves octaves of codes
     * @param dynamicRange from black to white (dB)
     */
    GreyTable(int octaves, double dynamicRange) {
        this.dynamicRange = dynamicRange;
        greys = new int[octaves * PLACES];
        steps = new int[greys.length];
        for (int i = PLACES; i < steps.length; i++) {
            float middle = Decibels.ofCode((i << SHIFT) + (1 << SHIFT - 1));
            steps[i] = (int) Math.rint(middle * RANGE / dynamicRange);
        }
        first = greys.length;
        end = greys.length;
        Arrays.fill(greys, HALF);
    }

    /**
     * Sets what is black.
     *
     * @param black level (dB); NaN if everything is
     */
    void set(double black) {
        int newFirst = greys.length;
        int newEnd = greys.length;
        if (!Double.isNaN(black)) {
            newFirst = octaveOf(black) * PLACES;
            newEnd = (octaveOf(black + dynamicRange) + 1) * PLACES;
        }
        // What was black or white and still is stays as it is.
        Arrays.fill(greys, Math.min(first, newFirst), newFirst, HALF);
        Arrays.fill(greys, newEnd, Math.max(end, newEnd), HALF + RANGE);
        first = newFirst;
        end = newEnd;
        cutOff(steps, (int) Math.rint(black * RANGE / dynamicRange), greys, first, end);
        greys[Decibels.SILENCE] = HALF;
    }

    private int octaveOf(double level) {
        double octave = Math.floor(level / OCTAVE_DB) + Decibels.OCTAVE_OF_ONE;
        return (int) Math.max(0, Math.min(greys.length / PLACES - 1, octave));
    }

    /** Without Math.min and max of integers, which HotSpot 17 makes no vector instructions of. */
    private static void cutOff(int[] steps, int black, int[] greys, int from, int to) {
        for (int i = from; i < to; i++) {
            int above = steps[i] - black;
            int below = (above & ~(above >> 31)) - RANGE;
            greys[i] = (below & below >> 31) + RANGE + HALF;
        }
    }

    /**
     * Brightness of codes one after the other.
     *
     * @param codes the codes
     * @param from the first one
     * @param count how many
     * @param to receives their brightness, {@code stride} elements from one to the next
     * @param first where the first one goes
     * @param stride the stride
     */
    void look(int[] codes, int from, int count, int[] to, int first, int stride) {
        int[] all = greys;
        for (int i = 0; i < count; i++) {
            to[first + i * stride] = all[codes[from + i] >>> SHIFT];
        }
    }
}
