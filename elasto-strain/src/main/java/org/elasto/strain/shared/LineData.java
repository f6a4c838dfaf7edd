package org.elasto.strain.shared;

import org.elasto.api.DisplacementField;

/**
 * One line of a field with room above and below, so that no window needs a bounds check. Workspace
 * of one worker; loading allocates nothing.
 */
public final class LineData {

    /** Rows of the line. */
    public final int rows;

    /** Index of row 0 in the arrays. */
    public final int margin;

    /** Displacements (m), 0 where unknown. */
    public final double[] displacement;

    /** Their predicted deviations (m), at least 1 nm; 0 where unknown. */
    public final float[] deviation;

    private final int[] knownBefore;
    private final double[] matchBefore;

    /**
     * Room for one line.
     *
     * @param rows rows of the line
     * @param margin rows of room above and below
     */
    public LineData(int rows, int margin) {
        this.rows = rows;
        this.margin = margin;
        int size = Math.addExact(rows, 2 * margin);
        displacement = new double[size];
        deviation = new float[size];
        knownBefore = new int[size + 1];
        matchBefore = new double[size + 1];
    }

    /**
     * Loads axial displacement.
     *
     * @param field the field
     * @param line number of the line
     */
    public void load(DisplacementField field, int line) {
        load(field.axial(), field.axialDeviation(), field.correlation(), line * field.rows());
    }

    /**
     * Loads a line.
     *
     * @param newDisplacement displacements (m)
     * @param newDeviation their predicted deviations (m)
     * @param match their match correlations
     * @param offset where the line begins in these arrays
     */
    public void load(float[] newDisplacement, float[] newDeviation, float[] match, int offset) {
        int end = margin + rows;
        for (int r = 0; r < rows; r++) {
            int from = offset + r;
            int to = margin + r;
            double b = Precision.of(newDisplacement[from], newDeviation[from], match[from]);
            boolean known = b > 0;
            displacement[to] = known ? newDisplacement[from] : 0;
            deviation[to] = known ? (float) (1 / b) : 0;
            knownBefore[to + 1] = knownBefore[to] + (known ? 1 : 0);
            matchBefore[to + 1] = matchBefore[to] + (known ? match[from] : 0);
        }
        for (int i = end; i < displacement.length; i++) {
            knownBefore[i + 1] = knownBefore[end];
            matchBefore[i + 1] = matchBefore[end];
        }
    }

    /**
     * Known rows of a stretch.
     *
     * @param from first row, may lie in the room above
     * @param to last row, may lie in the room below
     * @return their number
     */
    public int known(int from, int to) {
        return knownBefore[margin + to + 1] - knownBefore[margin + from];
    }

    /**
     * Mean match correlation of the known rows of a stretch.
     *
     * @param from first row
     * @param to last row
     * @return the mean, 0 if none is known
     */
    public float meanMatch(int from, int to) {
        int n = known(from, to);
        return n == 0
                ? 0
                : (float) ((matchBefore[margin + to + 1] - matchBefore[margin + from]) / n);
    }
}
