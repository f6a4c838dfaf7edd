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

    /** Match correlation, 0 where unknown; null if not wanted. */
    final float[] match;

    /**
     * Room for some lines.
     *
     * @param lines number of lines
     * @param rows rows of a line
     * @param margin rows of room between lines
     * @param linesAround lines of room before the first, and after the last
     * @param withMatch whether precision and match are wanted as well
     */
    PaddedLines(int lines, int rows, int margin, int linesAround, boolean withMatch) {
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
        precision = withMatch ? new float[size] : null;
        match = withMatch ? new float[size] : null;
    }

    /**
     * Loads a line; {@link #weigh} must follow.
     *
     * @param line its number here
     * @param u displacements (m)
     * @param s their predicted deviations (m)
     * @param c their match correlations
     * @param from where the line begins in these arrays
     * @return how many of its rows are known
     */
    int load(int line, float[] u, float[] s, float[] c, int from) {
        int to = origin + line * stride;
        System.arraycopy(u, from, displacement, to, rows);
        System.arraycopy(s, from, deviation, to, rows);
        if (match != null) {
            System.arraycopy(c, from, match, to, rows);
        }
        int known = rows;
        for (int r = 0; r < rows; r++) {
            if (!Precision.isKnown(u[from + r], s[from + r], c[from + r])) {
                known--;
                displacement[to + r] = 0;
                deviation[to + r] = Float.POSITIVE_INFINITY;
                if (match != null) {
                    match[to + r] = 0;
                }
            }
        }
        complete[around + line] = known == rows;
        return known;
    }

    /** Makes a line unknown as a whole; {@link #weigh} must follow. */
    void clear(int line) {
        int from = origin + line * stride;
        Arrays.fill(displacement, from, from + rows, 0);
        Arrays.fill(deviation, from, from + rows, Float.POSITIVE_INFINITY);
        if (match != null) {
            Arrays.fill(match, from, from + rows, 0);
        }
        complete[around + line] = false;
    }

    /** Makes weights of the deviations of some lines. */
    void weigh(int first, int count) {
        int from = origin + first * stride;
        int end = from + count * stride;
        weigh(weight, deviation, from, end);
        if (precision != null) {
            invert(precision, deviation, from, end);
        }
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
