package org.elasto.tracking.lattice;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.junit.jupiter.api.Test;

class MatchMajorityTest {

    private static final int LINES = 61;
    private static final int ROWS = 100;

    private final DisplacementField field =
            new DisplacementField(
                    new FieldLayout(
                            ScanGeometry.linear(LINES, 1300, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50),
                            new RowGrid(ROWS, 0, 2e-4),
                            false,
                            ErrorCorrelation.INDEPENDENT,
                            ErrorCorrelation.INDEPENDENT));
    private final MatchMajority majority = new MatchMajority(LINES, ROWS, 4, 7);

    private void fill(int fromLine, int toLine, int fromRow, int toRow, float correlation) {
        for (int line = fromLine; line < toLine; line++) {
            Arrays.fill(
                    field.correlation(), line * ROWS + fromRow, line * ROWS + toRow, correlation);
        }
    }

    private int known() {
        int known = 0;
        for (float r : field.correlation()) {
            assertTrue(r >= 0, "correlation " + r);
            known += r > 0 ? 1 : 0;
        }
        return known;
    }

    @Test
    void islandsAreLeftOut() {
        fill(0, LINES, 0, ROWS, MatchMajority.NO_MATCH);
        fill(20, 28, 40, 54, 0.8f);
        majority.apply(field);
        assertEquals(0, known());
    }

    @Test
    void holesMakeNoIslands() {
        fill(0, LINES, 0, ROWS, 0.9f);
        fill(20, 28, 40, 54, MatchMajority.NO_MATCH);
        majority.apply(field);
        assertEquals(LINES * ROWS - 8 * 14, known());
    }

    /** Half a frame that has no echo, behind bone or without contact, says nothing. */
    @Test
    void whereThereIsNoEchoNothingIsCounted() {
        fill(0, LINES, 0, 10, 0.9f);
        majority.apply(field);
        assertEquals(LINES * 10, known());
    }

    /** Half a frame that does not match takes no more than its own windows with it. */
    @Test
    void theBorderOfWhatMatchesStays() {
        fill(0, LINES, 0, ROWS, 0.9f);
        fill(32, LINES, 0, ROWS, MatchMajority.NO_MATCH);
        majority.apply(field);
        assertEquals(32 * ROWS, known());
    }
}
