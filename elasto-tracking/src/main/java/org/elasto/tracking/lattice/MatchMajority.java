package org.elasto.tracking.lattice;

import java.util.Arrays;
import org.elasto.api.DisplacementField;

/**
 * Leaves out what matches among much that does not. Where motion goes beyond what is looked for, or
 * tissue is no longer the same, here and there a window reaches the correlation that is demanded
 * all the same: by chance, or at a wrong place. Such islands are told by what lies around them:
 * within two or three windows either way less than half of what has an echo matches.
 *
 * <p>One thread at a time. A call allocates nothing.
 */
final class MatchMajority {

    /** Correlation that stands for an echo without a match, until {@link #apply}. */
    static final float NO_MATCH = -1;

    /** Cells of a neighbourhood on either side: across the lines, along them. */
    private static final int ACROSS = 2;

    private static final int ALONG = 1;

    private final int lines;
    private final int rows;
    private final int cellLines;
    private final int cellRows;
    private final int columns;
    private final int depths;
    private final int[] matches;
    private final int[] echoes;

    /**
     * Makes one for fields of a size; cells are as large as a window.
     *
     * @param lines lines of the field
     * @param rows rows of the field
     * @param windowLines lines of a window
     * @param windowRows rows of a window
     */
    MatchMajority(int lines, int rows, double windowLines, double windowRows) {
        this.lines = lines;
        this.rows = rows;
        cellLines = (int) Math.max(1, Math.round(windowLines));
        cellRows = (int) Math.max(1, Math.round(windowRows));
        columns = (lines + cellLines - 1) / cellLines;
        depths = (rows + cellRows - 1) / cellRows;
        matches = new int[columns * depths];
        echoes = new int[columns * depths];
    }

    /** Marks the islands of a field as unknown, and all that bears {@link #NO_MATCH}. */
    void apply(DisplacementField field) {
        if (!count(field.correlation())) {
            return;
        }
        for (int column = 0; column < columns; column++) {
            for (int depth = 0; depth < depths; depth++) {
                leaveOut(field, column, depth, isIsland(column, depth));
            }
        }
    }

    /** Counts matches and echoes of each cell; returns whether anything does not match. */
    private boolean count(float[] correlation) {
        Arrays.fill(matches, 0);
        Arrays.fill(echoes, 0);
        boolean differ = false;
        for (int line = 0; line < lines; line++) {
            int first = line / cellLines * depths;
            for (int depth = 0; depth < depths; depth++) {
                int end = line * rows + Math.min(rows, (depth + 1) * cellRows);
                int match = 0;
                int none = 0;
                for (int at = line * rows + depth * cellRows; at < end; at++) {
                    match += correlation[at] > 0 ? 1 : 0;
                    none += correlation[at] < 0 ? 1 : 0;
                }
                matches[first + depth] += match;
                echoes[first + depth] += match + none;
                differ |= none > 0;
            }
        }
        return differ;
    }

    private boolean isIsland(int column, int depth) {
        int match = 0;
        int echo = 0;
        int lastColumn = Math.min(columns - 1, column + ACROSS);
        int lastDepth = Math.min(depths - 1, depth + ALONG);
        for (int c = Math.max(0, column - ACROSS); c <= lastColumn; c++) {
            for (int d = Math.max(0, depth - ALONG); d <= lastDepth; d++) {
                match += matches[c * depths + d];
                echo += echoes[c * depths + d];
            }
        }
        return 2 * match < echo;
    }

    private void leaveOut(DisplacementField field, int column, int depth, boolean all) {
        float[] correlation = field.correlation();
        int lastLine = Math.min(lines, (column + 1) * cellLines);
        int lastRow = Math.min(rows, (depth + 1) * cellRows);
        for (int line = column * cellLines; line < lastLine; line++) {
            for (int row = depth * cellRows; row < lastRow; row++) {
                int at = line * rows + row;
                if (all || correlation[at] < 0) {
                    field.markUnknown(at);
                }
            }
        }
    }
}
