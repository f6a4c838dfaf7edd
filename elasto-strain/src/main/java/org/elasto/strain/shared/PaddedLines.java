package org.elasto.strain.shared;

import java.util.Arrays;

/**
 * Displacements and their weights, line after line, with zeros above, below and between the lines,
 * so that windows need no bounds check and a shift by some rows or lines is one copy. Lines may be
 * loaded by several threads at a time.
 */
final class PaddedLines {

    private static final float LEAST = (float) Precision.SMALLEST_DEVIATION;

    /** Rows of a line. */
    final int rows;

    /** From a row to the same one of the next line. */
    final int stride;

    /** Where row 0 of line 0 lies. */
    final int origin;

    /** Whether all rows of a line are known, with the lines around. */
    private final boolean[] complete;

    private final int around;

    /** Deviation s (m), infinite where unknown. */
    private final float[] deviation;

    /** 1/s&sup2; of each place (1/m&sup2;), 0 where unknown. */
    final float[] weight;

    /** Displacement (m), 0 where unknown. */
    final float[] displacement;

    /** 1/s (1/m), 0 where unknown; null if not wanted. */
    final float[] precision;

    /** Match correlation, 0 where unknown. */
    final float[] match;

    /**
     * Room for some lines.
     *
     * @param lines number of lines
     * @param rows rows of a line
     * @param margin rows of room between lines
     * @param linesAround lines of room before the first, and after the last
     * @param withPrecision whether precision is wanted as well
     */
    PaddedLines(int lines, int rows, int margin, int linesAround, boolean withPrecision) {
        this.rows = rows;
        stride = rows + margin;
        origin = margin + linesAround * stride;
        int size = Math.toIntExact(2L * origin + (long) lines * stride);
        around = linesAround;
        complete = new boolean[lines + 2 * linesAround];
        deviation = new float[size];
        Arrays.fill(deviation, Float.POSITIVE_INFINITY);
        weight = new float[size];
        displacement = new float[size];
        precision = withPrecision ? new float[size] : null;
        match = new float[size];
    }

    /**
     * Loads a line; {@link #weigh} must follow.
     *
     * @param line its number here
     * @param u displacements (m)
     * @param s their predicted deviations (m)
     * @param c their match correlations
     * @param from where the line begins in these arrays
     */
    void load(int line, float[] u, float[] s, float[] c, int from) {
        int to = origin + line * stride;
        System.arraycopy(u, from, displacement, to, rows);
        System.arraycopy(s, from, deviation, to, rows);
        System.arraycopy(c, from, match, to, rows);
    }

    /** Makes a line unknown as a whole; {@link #weigh} must follow. */
    void clear(int line) {
        int from = origin + line * stride;
        Arrays.fill(match, from, from + rows, 0);
    }

    /**
     * Finds what is known of some lines, and makes weights of their deviations.
     *
     * @param first number of the first line
     * @param count number of lines
     * @return how many of their rows are known
     */
    int weigh(int first, int count) {
        int from = origin + first * stride;
        int end = from + count * stride;
        // Weights come last: until then their place holds what is 0 or more where all is known.
        check(weight, displacement, deviation, match, from, end);
        int known = 0;
        for (int line = first; line < first + count; line++) {
            known += hide(line);
        }
        weigh(weight, deviation, from, end);
        if (precision != null) {
            invert(precision, deviation, from, end);
        }
        return known;
    }

    /** As {@link Precision#isKnown}, in a loop that becomes vector code. */
    private static void check(float[] out, float[] u, float[] s, float[] c, int from, int end) {
        for (int i = from; i < end; i++) {
            float least = Math.min(c[i] - Float.MIN_VALUE, s[i]);
            // 0 times a finite value is 0, times anything else NaN.
            out[i] = Math.min(least, Precision.LARGEST_DEVIATION - s[i]) + 0 * u[i];
        }
    }

    /** Takes away what is not known of a line; tells how many rows are. */
    private int hide(int line) {
        int from = origin + line * stride;
        int known = rows;
        for (int i = from; i < from + rows; i++) {
            if (!(weight[i] >= 0)) {
                known--;
                displacement[i] = 0;
                deviation[i] = Float.POSITIVE_INFINITY;
                match[i] = 0;
            }
        }
        complete[around + line] = known == rows;
        return known;
    }

    private static void weigh(float[] out, float[] s, int from, int end) {
        for (int i = from; i < end; i++) {
            float x = Math.max(s[i], LEAST);
            out[i] = 1 / (x * x);
        }
    }

    private static void invert(float[] out, float[] s, int from, int end) {
        for (int i = from; i < end; i++) {
            out[i] = 1 / Math.max(s[i], LEAST);
        }
    }

    /** Whether all rows of some lines are known; of lines around, none are. */
    boolean isComplete(int first, int last) {
        boolean all = true;
        for (int line = first; line <= last; line++) {
            all &= complete[around + line];
        }
        return all;
    }
}
