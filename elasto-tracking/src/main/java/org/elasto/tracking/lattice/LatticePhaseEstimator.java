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

    /** A step of lateral displacement beyond this many lines is a jump. */
    private static final float LATERAL_JUMP = 1.5f;

    private final LatticePhaseConfig config;
    private final Workers workers;
    private final FieldLayout layout;
    private final LatticeFrame.Shape shape;
    private final LatticeSearch search;
    private final DenseCorrelation dense;

    private final BlockJudge judge;
    private final CellMedian outliers = new CellMedian();

    /** Columns that hold lines. */
    private final int columns;

    private final float[] filteredAxial;
    private final float[] filteredLateral;
    private final float[] cellAxial;
    private final float[] cellLateral;
    private final float jump;
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
        int lineStep = config.lineStep();
        GaussianWindow across = across(config, lineStep * pair.pitch, frame.linesEvery(lineStep));
        int rows = Math.max(1, frame.length / shape.block);
        double firstRow = geometry.firstDepth() + (shape.block - 1) / 2.0 * frame.spacing;
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
                                across.equivalentLength() * lineStep * pair.pitch / WIDER));
        search =
                new LatticeSearch(
                        geometry,
                        frame,
                        config.searchRange(),
                        config.lateralSearchRange(),
                        pair.pitch,
                        workers);
        dense = new DenseCorrelation(geometry, frame, along, across, lateral, lineStep, workers);
        judge =
                new BlockJudge(
                        config, geometry, frame, layout, along, across, WIDER, dense, lineStep,
                        workers);
        columns = (frame.lines + LatticeFrame.COLUMN - 1) / LatticeFrame.COLUMN;
        filteredAxial = new float[search.axial.length];
        filteredLateral = new float[search.axial.length];
        cellAxial = new float[search.axial.length];
        cellLateral = new float[search.axial.length];
        jump = (float) (geometry.wavelength() / 4 / frame.spacing);
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
                (g, band, decimation, threads) -> {
                    double spacing = decimation * g.sampleSpacing();
                    int block = (int) Math.max(1, Math.round(config.rowSpacing() / spacing));
                    int half =
                            (int)
                                    Math.ceil(
                                            1.5
                                                    * along(config, block * spacing, 1 << 20)
                                                            .halfWidth());
                    double pitch = g.lineSpacing((g.firstDepth() + g.lastDepth()) / 2);
                    int lines =
                            DenseCorrelation.lateralWindow(
                                            across(config, pitch, g.lines()), g.lines())
                                    .halfWidth();
                    int sideways = (int) Math.ceil(config.lateralSearchRange() / pitch) + 5;
                    return new LatticeFrame(
                            g,
                            band,
                            decimation,
                            threads,
                            config.rowSpacing(),
                            config.searchRange(),
                            half,
                            Math.max(LatticeFrame.TILE, Math.max(lines, sideways)),
                            config.lateralSearchRange() > 0 ? 1 : config.lineStep());
                });
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
        outliers.filter(search.axial, columns, search.rows, jump, filteredAxial);
        if (layout.lateral()) {
            outliers.filter(search.lateral, columns, search.rows, LATERAL_JUMP, filteredLateral);
        }
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
        beginAt(tile, worker, step > 1);
        dense.correlate(tile, worker);
        dense.product(tile, worker);
    }

    private void againTileSideways(int tile, int worker) {
        dense.update(tile, worker);
        dense.product(tile, worker);
        dense.lateralEquations(tile, worker);
    }

    private void beginTile(int tile, int worker) {
        beginAt(tile, worker, config.steps() > 1);
        dense.correlate(tile, worker);
        dense.energies(tile, worker);
        dense.product(tile, worker);
    }

    /** Where the lattice says, but sideways where the step before has led. */
    private void beginAt(int tile, int worker, boolean further) {
        if (further) {
            dense.updateLateral(tile, worker);
        }
        // The axial displacement begins anew, so that its window stays the same.
        startTile(tile, !further);
    }

    private void againTile(int tile, int worker) {
        dense.update(tile, worker);
        dense.product(tile, worker);
        dense.lateralEquations(tile, worker);
        dense.energiesAlong(tile, worker);
        judge.measure(tile, worker);
    }

    private void endTile(int tile, int worker) {
        dense.update(tile, worker);
        dense.updateLateral(tile, worker);
        judge.judge(tile, worker, out);
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
    private void startTile(int tile, boolean sideways) {
        int last = (reference.lines - 1) / LatticeFrame.COLUMN;
        for (int i = 0; i < LatticeFrame.TILE; i++) {
            // A column's lines are its first and third.
            int line = (tile * LatticeFrame.TILE + i) * config.lineStep();
            float place = (line - 1) / (float) LatticeFrame.COLUMN;
            int near = Math.max(0, Math.min(last, (int) Math.floor(place)));
            int far = Math.max(0, Math.min(last, near + 1));
            float share = Math.max(0, Math.min(1, place - near));
            int at = i * shape.stride;
            startLine(cellAxial, near, far, share, jump, dense.axial[tile], at);
            if (layout.lateral() && sideways) {
                startLine(cellLateral, near, far, share, LATERAL_JUMP, dense.lateral[tile], at);
            }
        }
    }

    /** One line, from the middle of each cell to that of the next; 0 between the lines. */
    private void startLine(
            float[] cells, int near, int far, float share, float limit, float[] out, int at) {
        int cell = LatticeSearch.CELL;
        int rows = search.rows;
        for (int row = -1; row < rows; row++) {
            int above = Math.max(0, row);
            int below = Math.min(rows - 1, row + 1);
            float a = cells[near * rows + above];
            float b = cells[near * rows + below];
            float c = cells[far * rows + above];
            float d = cells[far * rows + below];
            float most = Math.max(Math.max(a, b), Math.max(c, d));
            float least = Math.min(Math.min(a, b), Math.min(c, d));
            boolean jumps = most - least > limit;
            float from = jumps ? share < 0.5f ? a : c : a + share * (c - a);
            float to = jumps ? share < 0.5f ? b : d : b + share * (d - b);
            int first = cell / 2 + row * cell;
            int end = Math.min(first + cell, shape.blocks);
            for (int k = Math.max(0, first); k < end; k++) {
                float deep = (k - first + 0.5f) / cell;
                float nearest = deep < 0.5f ? from : to;
                out[at + k] = jumps ? nearest : from + deep * (to - from);
            }
        }
        Arrays.fill(out, at + shape.blocks, at + shape.stride, 0f);
    }
}
