package org.elasto.tracking.seedgrowth;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.CellGrid;
import org.elasto.tracking.shared.CellMedian;
import org.elasto.tracking.shared.CoarseSearch;
import org.elasto.tracking.shared.FramePair;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.LineEnds;
import org.elasto.tracking.shared.MatchJudge;
import org.elasto.tracking.shared.MotionEquations;
import org.elasto.tracking.shared.PairTracker;

/** See {@link SeedGrowthProvider}. */
final class SeedGrowthEstimator extends PairTracker {

    /** Size of a cell (m). */
    private static final double CELL_DEPTH = 0.6e-3;

    private static final double CELL_WIDTH = 0.9e-3;

    private static final int MATCH_STEPS = 2;

    /** A step of lateral displacement beyond this many lines is a jump. */
    private static final float LATERAL_JUMP = 1.5f;

    private final SeedGrowthConfig config;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final FieldLayout layout;
    private final int lines;
    private final int length;
    private final int rowStep;
    private final float axialJump;
    private final CoarseSearch coarse;
    private final CellGrid grid;
    private final Growth growth;
    private final CellMedian outliers = new CellMedian();
    private final float[] cellAxial;
    private final float[] cellLateral;
    private final GaussianWindow across;
    private final float[] endFactors;
    private final float[] sideFactors;
    private final MotionEquations equations;
    private final MotionEquations.Sums[] sums;
    private final LineEnds ends;
    private final MatchJudge judge;

    /** Running displacement of every sample (m, lines), and the one to follow. */
    private float[] axial;

    private float[] lateral;
    private float[] nextAxial;
    private float[] nextLateral;
    private final Workers.Task interpolate = this::interpolateLine;
    private final Workers.Task refine = this::refineLine;

    SeedGrowthEstimator(SeedGrowthConfig config, ScanGeometry geometry, Workers workers) {
        super(new FramePair(geometry, config.bandwidth(), workers));
        this.config = config;
        this.geometry = geometry;
        this.workers = workers;
        MatchJudge.checkDepth(config.windowLength(), geometry);
        MatchJudge.checkDepth("match-length", config.matchLength(), geometry);
        coarse = new CoarseSearch(geometry, reference, pair.band, config.searchRange(), workers);
        lines = reference.lines;
        length = reference.length;
        axialJump = (float) (geometry.wavelength() / 4);
        double spacing = reference.spacing;
        double pitch = pair.pitch;
        GaussianWindow along = GaussianWindow.ofLength(config.windowLength() / spacing, length);
        across = GaussianWindow.ofLength(config.windowWidth() / pitch, lines);
        ends = new LineEnds(along, length, geometry.wavelength() / 2);
        endFactors = along.endFactors(length);
        sideFactors = across.endFactors(lines);
        rowStep = pair.rowStep(config.rowSpacing());
        layout =
                new FieldLayout(
                        geometry,
                        MatchJudge.grid(reference, rowStep, geometry),
                        // A single line shows no lateral motion.
                        lines > 1,
                        new ErrorCorrelation(
                                ErrorCorrelation.Shape.GAUSSIAN,
                                along.equivalentLength() * spacing),
                        new ErrorCorrelation(
                                ErrorCorrelation.Shape.GAUSSIAN,
                                across.equivalentLength() * pitch));
        judge =
                new MatchJudge(
                        geometry,
                        reference,
                        along,
                        across,
                        rowStep,
                        config.minimumCorrelation(),
                        workers);
        equations = new MotionEquations(reference, geometry.wavelength(), along, true, workers);
        sums = new MotionEquations.Sums[workers.count()];
        Arrays.setAll(sums, i -> new MotionEquations.Sums(length));
        int cellSamples = clamp(CELL_DEPTH / spacing, length);
        int cellLines = clamp(CELL_WIDTH / pitch, lines);
        int columns = (lines + cellLines - 1) / cellLines;
        int rows = (length + cellSamples - 1) / cellSamples;
        // In the middle of the frame, so that mirrored lines have mirrored cells where that goes.
        grid =
                new CellGrid(
                        columns,
                        rows,
                        (lines - 1 - (columns - 1) * cellLines) / 2,
                        cellLines,
                        (length - 1 - (rows - 1) * cellSamples) / 2,
                        cellSamples);
        LocalMatcher[] matchers = new LocalMatcher[workers.count()];
        int halfSamples = (int) Math.max(1, Math.round((config.matchLength() / spacing - 1) / 2));
        int halfLines = (int) Math.max(0, Math.round((config.matchWidth() / pitch - 1) / 2));
        Arrays.setAll(
                matchers,
                i ->
                        new CorrelationMatcher(
                                halfSamples, halfLines, MATCH_STEPS, geometry.wavelength()));
        growth =
                new Growth(
                        grid,
                        reference,
                        axialJump,
                        (float) (config.lateralSearchRange() / pitch),
                        (float) config.growthCorrelation(),
                        matchers,
                        workers);
        cellAxial = new float[grid.cells()];
        cellLateral = new float[grid.cells()];
        int size = lines * length;
        axial = new float[size];
        lateral = new float[size];
        nextAxial = new float[size];
        nextLateral = new float[size];
    }

    private static int clamp(double size, int most) {
        return Math.max(1, Math.min(most, (int) Math.round(size)));
    }

    @Override
    public FieldLayout layout() {
        return layout;
    }

    @Override
    protected void track(DisplacementField out) {
        coarse.search(reference, moved, axial);
        growth.grow(reference, moved, axial);
        outliers.filter(growth.axial, grid.columns(), grid.rows(), axialJump, cellAxial);
        outliers.filter(growth.lateral, grid.columns(), grid.rows(), LATERAL_JUMP, cellLateral);
        workers.run(lines, interpolate);
        for (int i = 0; i < config.steps(); i++) {
            equations.fill(reference, moved, axial, lateral);
            workers.run(lines, refine);
            float[] swap = axial;
            axial = nextAxial;
            nextAxial = swap;
            swap = lateral;
            lateral = nextLateral;
            nextLateral = swap;
        }
        ends.straighten(axial);
        judge.judge(reference, moved, axial, layout.lateral() ? lateral : null, out);
        LineEnds.allowForEnds(out, rowStep, endFactors, endFactors, sideFactors);
        ends.allowForStraightening(axial, out, rowStep);
    }

    private void interpolateLine(int line, int worker) {
        grid.interpolate(
                line, cellAxial, cellLateral, axialJump, LATERAL_JUMP, length, axial, lateral);
    }

    /** Solves the two equations of each window; where they say nothing, nothing changes. */
    private void refineLine(int line, int worker) {
        MotionEquations.Sums s = sums[worker];
        equations.sumAcross(line, across, axial, axialJump, s);
        float radiansPerMetre = (float) (4 * Math.PI / geometry.wavelength());
        int to = line * length;
        for (int n = 0; n < length; n++) {
            double g = s.axial[n];
            double h = s.lateral[n];
            double c = s.cross[n];
            double determinant = g * h - c * c;
            if (determinant > 1e-6 * g * g) {
                double p = (h * s.axialRight[n] - c * s.lateralRight[n]) / determinant;
                double v = (g * s.lateralRight[n] - c * s.axialRight[n]) / determinant;
                nextAxial[to + n] = (float) (p / radiansPerMetre);
                nextLateral[to + n] = (float) Math.max(-line - 1, Math.min(lines - line, v));
            } else {
                nextAxial[to + n] = axial[to + n];
                nextLateral[to + n] = lateral[to + n];
            }
        }
    }
}
