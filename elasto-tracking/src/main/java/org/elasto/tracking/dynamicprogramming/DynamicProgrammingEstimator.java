package org.elasto.tracking.dynamicprogramming;

import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.CellMedian;
import org.elasto.tracking.shared.FramePair;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.LineEnds;
import org.elasto.tracking.shared.MatchJudge;
import org.elasto.tracking.shared.MotionEquations;
import org.elasto.tracking.shared.PairTracker;

/** See {@link DynamicProgrammingProvider}. */
final class DynamicProgrammingEstimator extends PairTracker {

    /** Share of what a neighbouring column says. */
    private static final float NEIGHBOUR_SHARE = 0.5f;

    /** A step of lateral displacement beyond this many lines is a jump. */
    private static final float LATERAL_JUMP = 1f;

    /** What holds a sample in place that has no echo, against equations near 1. */
    private static final float HOLD = 1e-6f;

    private final DynamicProgrammingConfig config;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final FieldLayout layout;
    private final int lines;
    private final int length;
    private final int rowStep;
    private final LagLikelihood likelihood;
    private final float priceAcrossAxial;
    private final float priceAcrossLateral;
    private final GaussianWindow across;
    private final MotionEquations equations;
    private final MatchJudge judge;
    private final double stiffness;
    private final double lateralStiffness;
    private final float[] endFactors;
    private final float[] lateralEndFactors;
    private final float[] sideFactors;

    /** What each cell tells its neighbours aside about the lags. */
    private final float[] message;

    private final float[] gain;
    private final float[] cellAxial;
    private final float[] cellLateral;
    private final float[] filteredAxial;
    private final float[] filteredLateral;
    private final CellMedian outliers = new CellMedian();

    /** Running displacement of every sample (m, lines), and the one before. */
    private float[] axial;

    private float[] lateral;
    private float[] nextAxial;
    private float[] nextLateral;
    private double bendLateral;

    private final Scratch[] scratch;
    private final Workers.Task tell = this::tellNeighbours;
    private final Workers.Task choose = this::chooseLags;
    private final Workers.Task interpolate = this::interpolateLine;
    private final Workers.Task refine = this::refineLine;

    /** Workspace of a worker. */
    private static final class Scratch {
        final LagPath path;
        final int[] lags;
        final float[] values;
        final SmoothLine line;
        final MotionEquations.Sums sums;

        Scratch(LagPath path, LagLikelihood likelihood, int length) {
            this.path = path;
            lags = new int[likelihood.grid.rows()];
            values = new float[likelihood.lags];
            line = new SmoothLine(length);
            sums = new MotionEquations.Sums(length);
        }
    }

    DynamicProgrammingEstimator(
            DynamicProgrammingConfig config, ScanGeometry geometry, Workers workers) {
        super(new FramePair(geometry, config.bandwidth(), workers));
        this.config = config;
        this.geometry = geometry;
        this.workers = workers;
        double windowLength = SmoothLine.EQUIVALENT_LENGTH * config.smoothingLength();
        MatchJudge.checkDepth("smoothing-length times 3.77", windowLength, geometry);
        lines = reference.lines;
        length = reference.length;
        double spacing = reference.spacing;
        double pitch = pair.pitch;
        GaussianWindow along = GaussianWindow.ofLength(windowLength / spacing, length);
        across = GaussianWindow.ofLength(config.windowWidth() / pitch, lines);
        stiffness = Math.pow(config.smoothingLength() / spacing, 4);
        lateralStiffness = Math.pow(config.lateralSmoothingLength() / spacing, 4);
        endFactors = SmoothLine.endFactors(length, stiffness);
        lateralEndFactors = SmoothLine.endFactors(length, lateralStiffness);
        double narrower = Math.sqrt(config.smoothingLength() / config.lateralSmoothingLength());
        for (int n = 0; n < length; n++) {
            lateralEndFactors[n] *= (float) narrower;
        }
        sideFactors = across.endFactors(lines);
        rowStep = pair.rowStep(config.rowSpacing());
        layout =
                new FieldLayout(
                        geometry,
                        MatchJudge.grid(reference, rowStep, geometry),
                        // A single line shows no lateral motion.
                        lines > 1,
                        new ErrorCorrelation(ErrorCorrelation.Shape.GAUSSIAN, windowLength),
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
        equations = new MotionEquations(reference, geometry.wavelength(), along, false, workers);
        likelihood =
                new LagLikelihood(
                        geometry,
                        reference,
                        pair.band,
                        config.searchRange(),
                        config.lateralSearchRange(),
                        workers);
        // The price of a change: its size over what is common at that distance.
        double common = config.expectedGradient() * likelihood.blockDepth();
        double commonAcross = config.expectedGradient() * likelihood.columnLines() * pitch;
        priceAcrossAxial = (float) (spacing / commonAcross);
        priceAcrossLateral = (float) (pitch / commonAcross);
        scratch = new Scratch[workers.count()];
        for (int i = 0; i < scratch.length; i++) {
            LagPath path =
                    new LagPath(
                            likelihood.axialLags,
                            likelihood.lateralLags,
                            likelihood.grid.rows(),
                            (float) (spacing / common),
                            (float) (pitch / common),
                            (float) config.jumpPrice());
            scratch[i] = new Scratch(path, likelihood, length);
        }
        message = new float[likelihood.likelihood.length];
        gain = new float[likelihood.likelihood.length];
        cellAxial = new float[likelihood.grid.cells()];
        cellLateral = new float[likelihood.grid.cells()];
        filteredAxial = new float[likelihood.grid.cells()];
        filteredLateral = new float[likelihood.grid.cells()];
        int size = lines * length;
        axial = new float[size];
        lateral = new float[size];
        nextAxial = new float[size];
        nextLateral = new float[size];
    }

    @Override
    public FieldLayout layout() {
        return layout;
    }

    @Override
    protected void track(DisplacementField out) {
        likelihood.measure(reference, moved);
        workers.run(likelihood.grid.columns(), tell);
        workers.run(likelihood.grid.columns(), choose);
        likelihood.forget();
        removeOutliers();
        workers.run(lines, interpolate);
        for (int i = 0; i < config.steps(); i++) {
            equations.fill(reference, moved, axial, lateral);
            bendLateral = lateralStiffness * equations.lateralSharpness();
            workers.run(lines, refine);
            float[] swap = axial;
            axial = nextAxial;
            nextAxial = swap;
            swap = lateral;
            lateral = nextLateral;
            nextLateral = swap;
        }
        judge.judge(reference, moved, axial, layout.lateral() ? lateral : null, out);
        LineEnds.allowForEnds(out, rowStep, endFactors, lateralEndFactors, sideFactors);
    }

    /** What the likelihoods of a column mean for the columns beside it. */
    private void tellNeighbours(int column, int worker) {
        Scratch s = scratch[worker];
        int lags = likelihood.lags;
        for (int block = 0; block < likelihood.grid.rows(); block++) {
            int at = (column * likelihood.grid.rows() + block) * lags;
            System.arraycopy(likelihood.likelihood, at, s.values, 0, lags);
            s.path.spread(s.values, null, priceAcrossAxial, priceAcrossLateral);
            System.arraycopy(s.values, 0, message, at, lags);
        }
    }

    private void chooseLags(int column, int worker) {
        Scratch s = scratch[worker];
        int rows = likelihood.grid.rows();
        int perColumn = rows * likelihood.lags;
        int at = column * perColumn;
        System.arraycopy(likelihood.likelihood, at, gain, at, perColumn);
        for (int side = -1; side <= 1; side += 2) {
            int neighbour = column + side;
            if (neighbour >= 0 && neighbour < likelihood.grid.columns()) {
                int there = neighbour * perColumn;
                for (int i = 0; i < perColumn; i++) {
                    gain[at + i] += NEIGHBOUR_SHARE * message[there + i];
                }
            }
        }
        s.path.find(gain, at, rows, likelihood.zeroLag(), s.lags);
        for (int block = 0; block < rows; block++) {
            int lag = s.lags[block];
            int cell = column * rows + block;
            cellAxial[cell] = likelihood.axialDisplacement(column, block, lag, worker);
            cellLateral[cell] = likelihood.lateralDisplacement(column, block, lag);
        }
    }

    private void removeOutliers() {
        int columns = likelihood.grid.columns();
        int rows = likelihood.grid.rows();
        float jump = (float) (geometry.wavelength() / 4);
        outliers.filter(cellAxial, columns, rows, jump, filteredAxial);
        outliers.filter(cellLateral, columns, rows, LATERAL_JUMP, filteredLateral);
    }

    private void interpolateLine(int line, int worker) {
        likelihood.grid.interpolate(
                line,
                filteredAxial,
                filteredLateral,
                (float) (geometry.wavelength() / 4),
                LATERAL_JUMP,
                length,
                axial,
                lateral);
    }

    private void refineLine(int line, int worker) {
        Scratch s = scratch[worker];
        float jump = (float) (geometry.wavelength() / 4);
        equations.sumAcross(line, across, axial, jump, s.sums);
        solveLine(s.sums, s.line, line);
    }

    private void solveLine(MotionEquations.Sums s, SmoothLine solver, int line) {
        int to = line * length;
        float radiansPerMetre = (float) (4 * Math.PI / geometry.wavelength());
        solver.clear();
        for (int n = 0; n < length; n++) {
            float scale = 1 / (s.energy[n] + Float.MIN_NORMAL);
            solver.set(
                    n,
                    scale * s.axial[n] + HOLD,
                    scale * s.cross[n],
                    scale * s.lateral[n] + HOLD,
                    scale * s.axialRight[n] + HOLD * radiansPerMetre * axial[to + n],
                    scale * s.lateralRight[n] + HOLD * lateral[to + n]);
            if (n > 0 && n < length - 1 && !jumpsAround(to + n)) {
                solver.smooth(n, stiffness, bendLateral);
            }
        }
        solver.solve();
        float metresPerRadian = 1 / radiansPerMetre;
        for (int n = 0; n < length; n++) {
            nextAxial[to + n] = (float) (metresPerRadian * solver.axial(n));
            nextLateral[to + n] = clampToFrame(line, (float) solver.lateral(n));
        }
    }

    private boolean jumpsAround(int at) {
        float bend = axial[at - 1] - 2 * axial[at] + axial[at + 1];
        float lateralBend = lateral[at - 1] - 2 * lateral[at] + lateral[at + 1];
        return Math.abs(bend) > geometry.wavelength() / 8 || Math.abs(lateralBend) > LATERAL_JUMP;
    }

    /** Echoes from beyond the outermost lines are not there to be followed. */
    private float clampToFrame(int line, float v) {
        return Math.max(-line - 1f, Math.min(lines - line, v));
    }
}
