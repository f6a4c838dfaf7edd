package org.elasto.tracking.lattice;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.CellMedian;
import org.elasto.tracking.shared.FramePair;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.MatchJudge;
import org.elasto.tracking.shared.PairTracker;

/** See {@link LatticePhaseProvider}. */
final class LatticePhaseEstimator extends PairTracker {

    /**
     * The window is applied twice, to what the displacement lacks, and then to what it still lacks:
     * together {@code 2 w - w * w}. Where w is a Gaussian of two dimensions, that averages as much
     * as a w of {@code (2 - 4/3 + 1/4) * 2 = 11/6} times less area; so w is made wider.
     */
    private static final double WIDER = Math.sqrt(11 / 6.0);

    /** Width of the lattice's columns (m) where speed is all and a start is soon found. */
    private static final double AXIAL_COLUMN = 2.6e-3;

    /** A step of lateral displacement beyond this many lines is a jump. */
    private static final float LATERAL_JUMP = 1.5f;

    /** Blocks are two lines wide if those are no more than this share of the window's width. */
    private static final double BLOCK_WIDTH = 0.65;

    /** How far the blocks between the middles of two cells have come from one to the other. */
    private static final float[] BETWEEN = {0.125f, 0.375f, 0.625f, 0.875f};

    /** The same where displacement jumps. */
    private static final float[] NEAREST = {0, 0, 1, 1};

    private final LatticePhaseConfig config;
    private final Workers workers;
    private final FieldLayout layout;
    private final LatticeFrame.Shape shape;
    private final LatticeSearch search;
    private final DenseCorrelation dense;

    private final BlockJudge judge;
    private final CellMedian[] outliers;

    /** Columns that hold lines. */
    private final int columns;

    private final float[] filteredAxial;
    private final float[] filteredLateral;
    private final float[] cellAxial;
    private final float[] cellLateral;
    private final float jump;
    private final Workers.Task filter = this::filterCells;
    private final Workers.Task smooth = this::smoothCells;
    private final Workers.Task beginSideways = this::beginTileSideways;
    private final Workers.Task againSideways = this::againTileSideways;
    private final Workers.Task begin = this::beginTile;
    private final Workers.Task again = this::againTile;
    private final Workers.Task end = this::endTile;
    private int step;
    private DisplacementField out;

    LatticePhaseEstimator(LatticePhaseConfig config, ScanGeometry geometry, Workers workers) {
        super(pair(config, geometry, workers));
        this.config = config;
        this.workers = workers;
        MatchJudge.checkDepth(config.windowLength(), geometry);
        LatticeFrame frame = (LatticeFrame) pair.reference;
        shape = frame.shape;
        double blockDepth = shape.block * frame.spacing;
        GaussianWindow along = along(config, blockDepth, Math.max(1, shape.blocks - 1));
        // Between the lines that are tracked, and between strips of blocks.
        double pitch = frame.lineStep * pair.pitch;
        double stripPitch = shape.width * pitch;
        GaussianWindow across = across(config, stripPitch, shape.strips);
        int rows = Math.max(1, frame.length / shape.block);
        double firstRow = geometry.firstDepth() + (shape.block - 1) / 2.0 * frame.spacing;
        double jumpInMetres = geometry.wavelength() / 4;
        StripSpread spread =
                new StripSpread(frame, geometry.lines(), rows, across, jumpInMetres, workers);
        boolean lateral = config.lateralSearchRange() > 0 && frame.lines > 1;
        layout =
                new FieldLayout(
                        geometry,
                        new RowGrid(rows, firstRow, blockDepth),
                        lateral,
                        new ErrorCorrelation(
                                ErrorCorrelation.Shape.GAUSSIAN, config.windowLength()),
                        new ErrorCorrelation(
                                ErrorCorrelation.Shape.GAUSSIAN,
                                across.equivalentLength()
                                        * stripPitch
                                        / WIDER
                                        / spread.meanVariance()));
        search =
                new LatticeSearch(
                        geometry,
                        frame,
                        config.searchRange(),
                        config.lateralSearchRange(),
                        pitch,
                        workers);
        dense = new DenseCorrelation(geometry, frame, along, across, lateral, workers);
        judge =
                new BlockJudge(
                        config, geometry, frame, layout, along, across, WIDER, dense, spread,
                        workers);
        columns = (frame.lines + shape.columnLines - 1) / shape.columnLines;
        outliers = new CellMedian[workers.count()];
        Arrays.setAll(outliers, i -> new CellMedian());
        filteredAxial = new float[search.axial.length];
        filteredLateral = new float[search.axial.length];
        cellAxial = new float[search.axial.length];
        cellLateral = new float[search.axial.length];
        jump = (float) (jumpInMetres / frame.spacing);
    }

    private static GaussianWindow along(LatticePhaseConfig config, double blockDepth, int most) {
        return GaussianWindow.ofLength(WIDER * config.windowLength() / blockDepth, most);
    }

    private static GaussianWindow across(LatticePhaseConfig config, double pitch, int lines) {
        return GaussianWindow.ofLength(WIDER * config.windowWidth() / pitch, lines - 1);
    }

    private static FramePair pair(
            LatticePhaseConfig config, ScanGeometry geometry, Workers workers) {
        return new FramePair(
                geometry,
                config.bandwidth(),
                1,
                workers,
                (g, band, decimation, threads) ->
                        new LatticeFrame(
                                g,
                                band,
                                decimation,
                                threads,
                                plan(config, g, decimation * g.sampleSpacing())));
    }

    private static LatticeFrame.Plan plan(
            LatticePhaseConfig config, ScanGeometry geometry, double spacing) {
        int block = (int) Math.max(1, Math.round(config.rowSpacing() / spacing));
        int lags = (int) Math.ceil(config.searchRange() / (block * spacing)) + 1;
        int along = along(config, block * spacing, 1 << 20).halfWidth();
        int step = config.lineStep();
        double pitch = step * FramePair.pitch(geometry);
        int width = geometry.lines() > 1 && 2 * pitch <= BLOCK_WIDTH * config.windowWidth() ? 2 : 1;
        GaussianWindow across = across(config, width * pitch, geometry.lines());
        int strips = DenseCorrelation.lateralWindow(across, geometry.lines()).halfWidth();
        int sideways = (int) Math.ceil(config.lateralSearchRange() / pitch) + 5;
        int tile = LatticeFrame.TILE;
        boolean wide = config.lateralSearchRange() == 0 && 2 * tile * pitch <= AXIAL_COLUMN;
        return new LatticeFrame.Plan(
                step,
                block,
                width,
                wide ? 2 * tile : tile,
                Math.max(lags + 2, (int) Math.ceil(1.5 * along)),
                Math.max(tile, Math.max(strips, sideways / width + 1)));
    }

    @Override
    public FieldLayout layout() {
        return layout;
    }

    @Override
    protected void track(DisplacementField field) {
        out = field;
        LatticeFrame a = (LatticeFrame) reference;
        LatticeFrame b = (LatticeFrame) moved;
        search.search(a, b);
        workers.run(columns, filter);
        workers.run(columns, smooth);
        dense.frames(a, b);
        judge.frames(a, b);
        int tiles = dense.shape.tiles;
        for (step = 1; step < config.steps(); step++) {
            workers.run(tiles, beginSideways);
            dense.turn();
            workers.run(tiles, againSideways);
            dense.turn();
        }
        workers.run(tiles, begin);
        dense.turn();
        workers.run(tiles, again);
        dense.turn();
        workers.run(tiles, end);
        judge.complete(out);
        dense.frames(null, null);
        judge.frames(null, null);
        out = null;
    }

    /** The first steps are for the lateral displacement only. */
    private void beginTileSideways(int tile, int worker) {
        beginAt(tile, worker);
        dense.correlate(tile, worker, true, step == 1);
        dense.product(tile, worker, true);
    }

    private void againTileSideways(int tile, int worker) {
        dense.update(tile, worker);
        dense.product(tile, worker, true);
        dense.lateralEquations(tile, worker);
    }

    private void beginTile(int tile, int worker) {
        beginAt(tile, worker);
        dense.correlate(tile, worker, false, step == 1);
        dense.energies(tile, worker);
        dense.product(tile, worker, false);
    }

    /** Where the lattice says, but sideways where the step before has led. */
    private void beginAt(int tile, int worker) {
        if (step == 1) {
            startTile(tile);
        } else {
            dense.updateLateral(tile, worker, step == 2);
        }
    }

    private void againTile(int tile, int worker) {
        dense.update(tile, worker);
        dense.product(tile, worker, false);
        judge.measure(tile, worker);
        dense.lateralEquations(tile, worker);
        dense.energiesAlong(tile, worker);
    }

    private void endTile(int tile, int worker) {
        dense.update(tile, worker);
        dense.updateLateral(tile, worker, step == 1);
        judge.judge(tile, worker, out);
    }

    private void filterCells(int column, int worker) {
        CellMedian median = outliers[worker];
        int rows = search.rows;
        median.filterColumn(search.axial, columns, rows, column, jump, filteredAxial);
        if (layout.lateral()) {
            median.filterColumn(
                    search.lateral, columns, rows, column, LATERAL_JUMP, filteredLateral);
        }
    }

    private void smoothCells(int column, int worker) {
        int rows = search.rows;
        CellSmoother.smooth(filteredAxial, columns, rows, column, jump, 2, cellAxial);
        if (layout.lateral()) {
            CellSmoother.smooth(
                    filteredLateral, columns, rows, column, LATERAL_JUMP, 2, cellLateral);
        }
    }

    /** From cells to blocks: bilinear between the middles of the cells, but not across a jump. */
    private void startTile(int tile) {
        int last = columns - 1;
        for (int i = 0; i < LatticeFrame.TILE; i++) {
            int strip = tile * LatticeFrame.TILE + i;
            float line = strip * shape.width + (shape.width - 1) / 2f;
            float place = (line - shape.middleLine()) / shape.columnLines;
            int near = Math.max(0, Math.min(last, (int) Math.floor(place)));
            int far = Math.max(0, Math.min(last, near + 1));
            float share = Math.max(0, Math.min(1, place - near));
            int at = i * shape.stride;
            startLine(cellAxial, near, far, share, jump, dense.start[tile], at);
            if (layout.lateral()) {
                startLine(cellLateral, near, far, share, LATERAL_JUMP, dense.lateral[tile], at);
            }
        }
    }

    /**
     * One line, from the middle of each cell to that of the next; beyond the outermost two on their
     * straight line, as a start that stands still there is off by more than the phase mends. 0
     * between the lines.
     */
    private void startLine(
            float[] cells, int near, int far, float share, float limit, float[] out, int at) {
        int cell = LatticeSearch.CELL;
        int rows = search.rows;
        int last = rows - 1;
        for (int row = -1; row < rows; row++) {
            int above = Math.max(0, Math.min(last - 1, row));
            int below = Math.min(last, above + 1);
            float a = cells[near * rows + above];
            float b = cells[near * rows + below];
            float c = cells[far * rows + above];
            float d = cells[far * rows + below];
            float most = Math.max(Math.max(a, b), Math.max(c, d));
            float least = Math.min(Math.min(a, b), Math.min(c, d));
            boolean jumps = most - least > limit;
            float from = jumps ? share < 0.5f ? a : c : a + share * (c - a);
            float to = jumps ? share < 0.5f ? b : d : b + share * (d - b);
            float rise = to - from;
            if (!jumps) {
                from += (row - above) * rise;
            } else if (row != above) {
                from = row < above ? from : to;
                rise = 0;
            }
            float[] shares = jumps ? NEAREST : BETWEEN;
            int first = cell / 2 + row * cell;
            int end = Math.min(first + cell, shape.blocks);
            for (int k = Math.max(0, first); k < end; k++) {
                out[at + k] = from + shares[k - first] * rise;
            }
        }
        Arrays.fill(out, at + shape.blocks, at + shape.stride, 0f);
    }
}
