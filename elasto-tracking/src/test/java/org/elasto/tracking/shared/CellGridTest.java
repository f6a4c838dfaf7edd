package org.elasto.tracking.shared;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;

/** From cells to samples, and single cells that are wrong. */
class CellGridTest {

    private static final CellGrid GRID = new CellGrid(4, 6, 1, 3, 4.5, 10);

    private static float[] plane(double perLine, double perSample) {
        float[] cells = new float[GRID.cells()];
        for (int c = 0; c < 4; c++) {
            for (int r = 0; r < 6; r++) {
                cells[c * 6 + r] = (float) (2 + perLine * (1 + 3 * c) + perSample * (4.5 + 10 * r));
            }
        }
        return cells;
    }

    @Test
    void aPlaneStaysAPlaneBetweenTheCells() {
        float[] u = new float[12 * 60];
        float[] v = new float[12 * 60];
        for (int line = 0; line < 12; line++) {
            GRID.interpolate(line, plane(0.1, 0.03), plane(-1, 0), 100, 100, 60, u, v);
        }
        for (int line = 1; line <= 10; line++) {
            for (int n = 5; n <= 54; n++) {
                assertEquals(2 + 0.1 * line + 0.03 * n, u[line * 60 + n], 1e-5);
                assertEquals(2 - line, v[line * 60 + n], 1e-5);
            }
        }
        // Beyond the outermost cells it stays level.
        assertEquals(2 + 0.1 + 0.03 * 4.5, u[0], 1e-5);
        assertEquals(2 + 0.1 * 10 + 0.03 * 54.5, u[11 * 60 + 59], 1e-5);
    }

    @Test
    void aJumpStaysAJump() {
        float[] cells = new float[GRID.cells()];
        for (int c = 0; c < 4; c++) {
            for (int r = 3; r < 6; r++) {
                cells[c * 6 + r] = 7;
            }
        }
        float[] u = new float[12 * 60];
        GRID.interpolate(5, cells, null, 1, 0, 60, u, null);
        for (int n = 0; n < 60; n++) {
            assertEquals(n < 29.5 ? 0 : 7, u[5 * 60 + n], "sample " + n);
        }
    }

    @Test
    void aLoneCellIsReplacedAndAnEdgeStays() {
        float[] cells = new float[GRID.cells()];
        for (int i = 12; i < 24; i++) {
            cells[i] = 5;
        }
        float[] expected = cells.clone();
        cells[3] = 9;
        float[] out = new float[24];
        new CellMedian().filter(cells, 4, 6, 1, out);
        assertArrayEquals(expected, out);
    }

    @Test
    void aWindowAveragesLessAtTheEnds() {
        // At the very end half of a wide Gaussian is left: the variance doubles.
        float[] factors = new GaussianWindow(20, 1000).endFactors(400);
        assertEquals(Math.sqrt(2), factors[0], 0.03);
        assertEquals(1, factors[200], 1e-5);
        assertEquals(factors[0], factors[399]);
    }
}
