package org.elasto.tracking.seedgrowth;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.function.IntBinaryOperator;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.CellGrid;
import org.junit.jupiter.api.Test;

/** The order of the search, with a matcher that knows the answer but wants a guess near it. */
class GrowthTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(60, 1600, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    private static final BasebandFrame FIRST =
            new BasebandFrame(GEOMETRY, 6e6, 4, Workers.sequential());
    private static final BasebandFrame SECOND =
            new BasebandFrame(GEOMETRY, 6e6, 4, Workers.sequential());
    private static final CellGrid GRID = new CellGrid(20, 40, 1, 3, 5, 10);
    private static final float REACH = 40e-6f;

    /** Micrometres of displacement at a line and sample; a region without match is marked. */
    private static final int NO_MATCH = Integer.MIN_VALUE;

    private static LocalMatcher knowing(IntBinaryOperator truth) {
        return (a, b, line, sample, guess) -> {
            int micrometres = truth.applyAsInt(line, sample);
            float sign = a == FIRST ? 1 : -1;
            float u = sign * micrometres * 1e-6f;
            if (micrometres != NO_MATCH && Math.abs(u - guess.axial) < REACH) {
                guess.axial = u;
                guess.gradient = 0;
                guess.lateral = 0;
                guess.quality = 0.9f + 0.0001f * ((line * 31 + sample * 17) % 97);
            } else {
                guess.quality = 0.3f;
            }
        };
    }

    private static Growth grow(IntBinaryOperator truth, float[] coarse, Workers workers) {
        LocalMatcher[] matchers = new LocalMatcher[workers.count()];
        Arrays.setAll(matchers, i -> knowing(truth));
        Growth growth = new Growth(GRID, FIRST, 50e-6f, 2f, 0.75f, matchers, workers);
        growth.grow(FIRST, SECOND, coarse);
        return growth;
    }

    private static float[] coarse(float value) {
        float[] plane = new float[FIRST.lines * FIRST.length];
        Arrays.fill(plane, value);
        return plane;
    }

    private static float at(float[] cells, int column, int row) {
        return cells[column * GRID.rows() + row];
    }

    @Test
    void oneGoodSeedReachesEveryCellThatCanBeReachedInSmallSteps() {
        // 0 to 400 um over the depth; the coarse search is right near the surface only.
        Growth growth = grow((line, sample) -> sample, coarse(0f), Workers.sequential());
        for (int c = 0; c < GRID.columns(); c++) {
            for (int r = 0; r < GRID.rows(); r++) {
                assertEquals((5 + 10 * r) * 1e-6, at(growth.axial, c, r), 1e-8);
                assertTrue(at(growth.quality, c, r) > 0.75f);
            }
        }
    }

    @Test
    void aJumpIsNotCrossedButGrownFromBehind() {
        IntBinaryOperator truth = (line, sample) -> sample < 200 ? 10 : 900;
        float[] coarse = coarse(0f);
        // Behind the jump the coarse search is right in one corner only.
        for (int line = 0; line < 12; line++) {
            Arrays.fill(coarse, line * FIRST.length + 300, (line + 1) * FIRST.length, 900e-6f);
        }
        Growth growth = grow(truth, coarse, Workers.sequential());
        for (int c = 0; c < GRID.columns(); c++) {
            assertEquals(10e-6, at(growth.axial, c, 19), 1e-8);
            assertEquals(900e-6, at(growth.axial, c, 20), 1e-8);
        }
    }

    @Test
    void whatHasNoSeedIsNotClaimed() {
        IntBinaryOperator truth = (line, sample) -> sample < 200 ? 10 : 900;
        Growth growth = grow(truth, coarse(0f), Workers.sequential());
        assertTrue(at(growth.quality, 7, 19) > 0.75f);
        assertEquals(0f, at(growth.quality, 7, 20));
        // As a start for what follows it takes what is nearest.
        assertEquals(10e-6, at(growth.axial, 7, 39), 1e-8);
    }

    @Test
    void growsAroundAnObstacle() {
        IntBinaryOperator truth =
                (line, sample) -> sample / 10 == 20 && line >= 3 ? NO_MATCH : sample < 200 ? 0 : 20;
        Growth growth = grow(truth, coarse(0f), Workers.sequential());
        assertEquals(0f, at(growth.quality, 10, 20));
        assertTrue(at(growth.quality, 10, 21) > 0.75f);
        assertEquals(20e-6, at(growth.axial, 10, 21), 1e-8);
    }

    @Test
    void aSeedThatDoesNotLeadBackIsDropped() {
        Workers workers = Workers.sequential();
        LocalMatcher oneWay =
                (a, b, line, sample, guess) -> {
                    guess.axial = a == FIRST ? 10e-6f : 60e-6f;
                    guess.quality = 0.99f;
                };
        Growth growth =
                new Growth(GRID, FIRST, 50e-6f, 2f, 0.75f, new LocalMatcher[] {oneWay}, workers);
        growth.grow(FIRST, SECOND, coarse(5e-6f));
        for (int i = 0; i < GRID.cells(); i++) {
            assertEquals(0f, growth.quality[i]);
            assertEquals(5e-6f, growth.axial[i]);
        }
    }

    @Test
    void theResultDoesNotDependOnTheWorkers() {
        IntBinaryOperator truth =
                (line, sample) -> line % 7 == 3 ? NO_MATCH : sample + (line > 30 ? 500 : 0);
        float[] coarse = coarse(20e-6f);
        Growth one = grow(truth, coarse, Workers.sequential());
        for (int n = 2; n <= 5; n += 3) {
            try (Workers workers = Workers.threads(n)) {
                Growth several = grow(truth, coarse, workers);
                assertArrayEquals(one.axial, several.axial);
                assertArrayEquals(one.quality, several.quality);
            }
        }
    }
}
