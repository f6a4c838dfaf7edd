package org.elasto.tracking.seedgrowth;

import java.util.Arrays;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.CellGrid;

/**
 * Grows a displacement over a grid of cells from seeds, best match first (Pan, Applied Optics
 * 48(8):1535-1542, 2009).
 *
 * <p>Seeds are tried in every so manieth cell, from the coarse displacement and several lateral
 * ones; one is kept if it matches well, stays near where it started, and leads back to its place
 * from the second frame to the first. From then on, of all cells found so far the one with the best
 * match is taken next, and its neighbours that are not yet found are matched from its displacement,
 * carried on by its gradient. What matches badly, or strays from the guess, is not kept; it may
 * still be reached from another side.
 *
 * <p>Best first is sequential by nature. To use several workers all the same, strips of columns,
 * whose number depends on the grid alone, are grown each for itself; then one sequential pass takes
 * all cells found and grows on over what is left. The result does not depend on the workers.
 */
final class Growth {

    /** Every so manieth row and column has a seed. */
    private static final int SEED_ROWS = 4;

    private static final int SEED_COLUMNS = 3;

    /** Columns of a strip, at least. */
    private static final int STRIP_COLUMNS = 6;

    /** How far a match may stray from the guess, in lines. */
    private static final float LATERAL_STRAY = 1.5f;

    private final CellGrid grid;
    private final int lines;
    private final int length;
    private final float axialStray;
    private final float mostLateral;
    private final float leastQuality;
    private final int strips;
    private final int seedsAcross;
    private final int seedsDeep;
    private final LocalMatcher[] matchers;
    private final LocalMatcher.Match[] matches;
    private final BestFirstQueue[] queues;
    private final BestFirstQueue lastQueue;
    private final int[] waiting;

    /** Displacement of the cells: axial (m), its change per sample (m), lateral (lines). */
    final float[] axial;

    final float[] lateral;

    /** Match of a cell; 0 for those that were not reached. */
    final float[] quality;

    private final float[] gradient;
    private final boolean[] known;
    private final Workers workers;
    private final Workers.Task seed = this::trySeed;
    private final Workers.Task strip = this::growStrip;
    private BasebandFrame reference;
    private BasebandFrame moved;
    private float[] coarse;

    /**
     * Makes room for a growth.
     *
     * @param grid the cells
     * @param frame a baseband frame of the kind that will be given
     * @param axialStray how far a match may stray from its guess (m)
     * @param mostLateral greatest lateral displacement (lines)
     * @param leastQuality match from which a cell is kept and grown from
     * @param matchers a matcher for each worker
     * @param workers threads it may use
     */
    Growth(
            CellGrid grid,
            BasebandFrame frame,
            float axialStray,
            float mostLateral,
            float leastQuality,
            LocalMatcher[] matchers,
            Workers workers) {
        this.grid = grid;
        this.axialStray = axialStray;
        this.mostLateral = mostLateral;
        this.leastQuality = leastQuality;
        this.matchers = matchers;
        this.workers = workers;
        lines = frame.lines;
        length = frame.length;
        strips = Math.max(1, grid.columns() / STRIP_COLUMNS);
        seedsAcross = (grid.columns() + SEED_COLUMNS - 1) / SEED_COLUMNS;
        seedsDeep = (grid.rows() + SEED_ROWS - 1) / SEED_ROWS;
        matches = new LocalMatcher.Match[2 * workers.count()];
        Arrays.setAll(matches, i -> new LocalMatcher.Match());
        queues = new BestFirstQueue[workers.count()];
        Arrays.setAll(queues, i -> new BestFirstQueue(grid.cells()));
        lastQueue = queues[0];
        waiting = new int[grid.cells()];
        axial = new float[grid.cells()];
        lateral = new float[grid.cells()];
        gradient = new float[grid.cells()];
        quality = new float[grid.cells()];
        known = new boolean[grid.cells()];
    }

    /**
     * Grows over a frame pair.
     *
     * @param a first frame
     * @param b second frame
     * @param start coarse axial displacement (m), {@code line * length + sample}
     */
    void grow(BasebandFrame a, BasebandFrame b, float[] start) {
        reference = a;
        moved = b;
        coarse = start;
        Arrays.fill(known, false);
        Arrays.fill(quality, 0f);
        workers.run(seedsAcross * seedsDeep, seed);
        workers.run(strips, strip);
        growOver(lastQueue, 0, grid.columns(), 0);
        fillUnreached();
        reference = null;
        moved = null;
        coarse = null;
    }

    private int lineOf(int column) {
        double line = grid.firstLine() + (double) column * grid.lineStep();
        return Math.max(0, Math.min(lines - 1, (int) Math.rint(line)));
    }

    private int sampleOf(int row) {
        double sample = grid.firstSample() + (double) row * grid.sampleStep();
        return Math.max(0, Math.min(length - 1, (int) Math.rint(sample)));
    }

    private float coarseAt(int column, int row) {
        return coarse[lineOf(column) * length + sampleOf(row)];
    }

    private void trySeed(int number, int worker) {
        int column =
                Math.min(grid.columns() - 1, number / seedsDeep * SEED_COLUMNS + SEED_COLUMNS / 2);
        int row = Math.min(grid.rows() - 1, number % seedsDeep * SEED_ROWS + SEED_ROWS / 2);
        int cell = column * grid.rows() + row;
        int line = lineOf(column);
        int sample = sampleOf(row);
        LocalMatcher.Match match = matches[2 * worker];
        float start = coarseAt(column, row);
        // A lateral guess within about a line of the truth is near enough.
        int tries = (int) Math.ceil(mostLateral / 1.5f);
        for (int k = 0; k < 2 * tries + 1; k++) {
            // The middle first, so that it wins a tie.
            int side = (k + 1) / 2 * (k % 2 == 0 ? 1 : -1);
            float guess = tries == 0 ? 0 : side * mostLateral / tries;
            match.set(start, 0f, guess);
            matchers[worker].match(reference, moved, line, sample, match);
            if (match.quality >= leastQuality
                    && match.quality > quality[cell]
                    && near(match, start, guess)
                    && leadsBack(match, line, sample, worker)) {
                keep(cell, match);
            }
        }
    }

    /** Whether matching from the second frame to the first leads back to where it began. */
    private boolean leadsBack(LocalMatcher.Match there, int line, int sample, int worker) {
        LocalMatcher.Match back = matches[2 * worker + 1];
        int sampleThere = sample + (int) Math.rint(there.axial / reference.spacing);
        int lineThere = line + Math.round(there.lateral);
        if (sampleThere < 0 || sampleThere >= length || lineThere < 0 || lineThere >= lines) {
            return false;
        }
        back.set(-there.axial, -there.gradient, -there.lateral);
        matchers[worker].match(moved, reference, lineThere, sampleThere, back);
        return back.quality >= leastQuality
                && Math.abs(back.axial + there.axial) < axialStray / 2
                && Math.abs(back.lateral + there.lateral) < LATERAL_STRAY / 2;
    }

    private boolean near(LocalMatcher.Match match, float guessAxial, float guessLateral) {
        return Math.abs(match.axial - guessAxial) < axialStray
                && Math.abs(match.lateral - guessLateral) < LATERAL_STRAY
                && Math.abs(match.lateral) < mostLateral + 1;
    }

    private void keep(int cell, LocalMatcher.Match match) {
        axial[cell] = match.axial;
        gradient[cell] = match.gradient;
        lateral[cell] = match.lateral;
        quality[cell] = match.quality;
        known[cell] = true;
    }

    private void growStrip(int number, int worker) {
        int first = (int) ((long) grid.columns() * number / strips);
        int end = (int) ((long) grid.columns() * (number + 1) / strips);
        growOver(queues[worker], first, end, worker);
    }

    /** Grows on from all cells known so far, over some columns. */
    private void growOver(BestFirstQueue queue, int firstColumn, int endColumn, int worker) {
        int rows = grid.rows();
        queue.clear();
        for (int cell = firstColumn * rows; cell < endColumn * rows; cell++) {
            if (known[cell]) {
                queue.add(cell, quality[cell]);
            }
        }
        while (!queue.isEmpty()) {
            int cell = queue.removeBest();
            int column = cell / rows;
            int row = cell % rows;
            if (row > 0) {
                visit(queue, cell, column, row - 1, worker);
            }
            if (row < rows - 1) {
                visit(queue, cell, column, row + 1, worker);
            }
            if (column > firstColumn) {
                visit(queue, cell, column - 1, row, worker);
            }
            if (column < endColumn - 1) {
                visit(queue, cell, column + 1, row, worker);
            }
        }
    }

    private void visit(BestFirstQueue queue, int parent, int column, int row, int worker) {
        int cell = column * grid.rows() + row;
        if (known[cell]) {
            return;
        }
        int sample = sampleOf(row);
        int passed = sample - sampleOf(parent % grid.rows());
        float guess = axial[parent] + passed * gradient[parent];
        LocalMatcher.Match match = matches[2 * worker];
        match.set(guess, gradient[parent], lateral[parent]);
        matchers[worker].match(reference, moved, lineOf(column), sample, match);
        if (match.quality >= leastQuality && near(match, guess, lateral[parent])) {
            keep(cell, match);
            queue.add(cell, match.quality);
        }
    }

    /**
     * What was not reached takes the displacement of the nearest cell that was, in cells' steps.
     */
    private void fillUnreached() {
        int rows = grid.rows();
        int end = 0;
        for (int cell = 0; cell < grid.cells(); cell++) {
            if (known[cell]) {
                waiting[end++] = cell;
            }
        }
        if (end == 0) {
            for (int cell = 0; cell < grid.cells(); cell++) {
                axial[cell] = coarseAt(cell / rows, cell % rows);
                lateral[cell] = 0;
            }
            return;
        }
        for (int at = 0; at < end; at++) {
            int cell = waiting[at];
            int row = cell % rows;
            end = row > 0 ? inherit(cell, cell - 1, end) : end;
            end = row < rows - 1 ? inherit(cell, cell + 1, end) : end;
            end = cell >= rows ? inherit(cell, cell - rows, end) : end;
            end = cell + rows < grid.cells() ? inherit(cell, cell + rows, end) : end;
        }
    }

    private int inherit(int from, int to, int end) {
        if (known[to]) {
            return end;
        }
        known[to] = true;
        axial[to] = axial[from];
        lateral[to] = lateral[from];
        waiting[end] = to;
        return end + 1;
    }
}
