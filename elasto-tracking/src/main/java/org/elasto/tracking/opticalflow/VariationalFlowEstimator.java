package org.elasto.tracking.opticalflow;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.CoarseSearch;
import org.elasto.tracking.shared.FractionalShift;
import org.elasto.tracking.shared.FramePair;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.LateralSearch;
import org.elasto.tracking.shared.MatchJudge;
import org.elasto.tracking.shared.PairTracker;

/** See {@link VariationalFlowProvider}. */
final class VariationalFlowEstimator extends PairTracker {

    /** Size of the window in which motion is measured, as a share of what the solution averages. */
    private static final double LOCAL_SHARE = 0.3;

    /** Lateral displacement bends more: it is the less certain one. */
    private static final float LATERAL_JUMPS = 16f;

    /** The bends of the coarse search are no jumps. */
    private static final float COARSE_JUMPS = 3f;

    /** Fewest lines that have a lateral motion: its derivative needs a line on either side. */
    private static final int LEAST_LINES = 3;

    /** Rounds of the solver for each warp; the warps begin where the one before has ended. */
    private static final int ROUNDS = 3;

    /** Times that axial and lateral search are repeated; tissue is won back from the middle out. */
    private static final int SIDEWAYS_ROUNDS = 3;

    /** Share of the frame that must have moved by a line for the axial search to be repeated. */
    private static final double LEAST_SIDEWAYS_SHARE = 0.02;

    private final VariationalFlowConfig config;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final FieldLayout layout;
    private final int lines;
    private final int length;
    private final float pitch;

    /** The second frame with its lateral displacement undone by whole lines. */
    private final BasebandFrame straightened;

    private final CoarseSearch coarse;
    private final LateralSearch sideways;
    private final LocalMotion local;
    private final AlternatingSolver solver;
    private final MatchJudge judge;

    /** Solution: axial (m) and lateral (lines) displacement of every baseband sample. */
    private final float[] axial;

    private final float[] lateral;

    private final float[] warpedRe;
    private final float[] warpedIm;

    /** Displacement that the data ask for, and its weight. */
    private final float[] axialData;

    private final float[] lateralData;
    private final float[] axialWeight;
    private final float[] lateralWeight;

    /** How far smoothness holds along and across the lines, 0 to 1. */
    private final float[] holdAlong;

    private final float[] holdAcross;

    private final Workers.Task warp = this::warpLine;
    private final Workers.Task straighten = this::straightenLine;
    private final Workers.Task hold = this::holdLine;
    private float jump;

    VariationalFlowEstimator(VariationalFlowConfig config, ScanGeometry geometry, Workers workers) {
        super(new FramePair(geometry, config.bandwidth(), workers));
        this.config = config;
        this.geometry = geometry;
        this.workers = workers;
        MatchJudge.checkDepth("smoothing-length", config.smoothingLength(), geometry);
        straightened = new BasebandFrame(geometry, pair.band, pair.decimation, workers);
        lines = reference.lines;
        length = reference.length;
        double spacing = reference.spacing;
        coarse = new CoarseSearch(geometry, reference, pair.band, config.searchRange(), workers);
        sideways = new LateralSearch(geometry, reference, config.lateralRange(), workers);
        pitch = (float) pair.pitch;
        double alongSamples = config.smoothingLength() / spacing;
        double acrossLines = config.smoothingWidth() / pitch;
        GaussianWindow smallAlong = GaussianWindow.ofLength(LOCAL_SHARE * alongSamples, length);
        GaussianWindow smallAcross = GaussianWindow.ofLength(LOCAL_SHARE * acrossLines, lines);
        SmoothingResponse response =
                new SmoothingResponse(alongSamples, acrossLines, smallAlong, smallAcross);
        solver =
                new AlternatingSolver(
                        lines, length, response.weightAlong(), response.weightAcross(), workers);
        GaussianWindow along = GaussianWindow.ofLength(response.length(), length);
        GaussianWindow across = GaussianWindow.ofLength(response.width(), lines);
        local =
                new LocalMotion(
                        reference,
                        along,
                        across,
                        smallAlong,
                        smallAcross,
                        4 * Math.PI / geometry.wavelength(),
                        workers);
        int rowStep = pair.rowStep(config.rowSpacing());
        boolean twoDirections = lines >= LEAST_LINES;
        layout =
                new FieldLayout(
                        geometry,
                        MatchJudge.grid(reference, rowStep, geometry),
                        twoDirections,
                        new ErrorCorrelation(
                                ErrorCorrelation.Shape.GAUSSIAN,
                                response.gaussianLength() * spacing),
                        new ErrorCorrelation(
                                ErrorCorrelation.Shape.GAUSSIAN, response.gaussianWidth() * pitch));
        judge =
                new MatchJudge(
                        geometry,
                        reference,
                        along,
                        across,
                        rowStep,
                        config.minimumCorrelation(),
                        workers);
        int size = lines * length;
        axial = new float[size];
        lateral = twoDirections ? new float[size] : null;
        warpedRe = new float[size];
        warpedIm = new float[size];
        axialData = new float[size];
        lateralData = twoDirections ? new float[size] : null;
        axialWeight = new float[size];
        lateralWeight = twoDirections ? new float[size] : null;
        holdAlong = new float[size];
        holdAcross = new float[size];
    }

    @Override
    public FieldLayout layout() {
        return layout;
    }

    @Override
    protected void track(DisplacementField out) {
        coarse.search(reference, moved, axial);
        if (lateral != null) {
            startSideways();
        }
        local.prepare(reference);
        for (int step = 0; step < config.steps(); step++) {
            step(step);
        }
        judge.judge(reference, moved, axial, lateral, out);
    }

    /**
     * Finds the lateral displacement by whole lines and, where it is that large, the axial one
     * again from the lines that tissue has moved to: on its own line it no longer matches.
     */
    private void startSideways() {
        Arrays.fill(lateral, 0f);
        workers.run(lines, warp);
        sideways.search(reference, warpedRe, warpedIm, lateral);
        int far = 0;
        for (float v : lateral) {
            far += Math.abs(v) >= 1 ? 1 : 0;
        }
        if (far < LEAST_SIDEWAYS_SHARE * lateral.length) {
            return;
        }
        for (int i = 0; i < SIDEWAYS_ROUNDS; i++) {
            workers.run(lines, straighten);
            coarse.search(reference, straightened, axial);
            Arrays.fill(lateral, 0f);
            workers.run(lines, warp);
            sideways.search(reference, warpedRe, warpedIm, lateral);
        }
    }

    private void straightenLine(int line, int worker) {
        int stride = moved.stride;
        int to = line * stride + BasebandFrame.MARGIN;
        for (int n = 0; n < length; n++) {
            int other = line + Math.round(lateral[line * length + n]);
            int from = Math.max(0, Math.min(lines - 1, other)) * stride + BasebandFrame.MARGIN;
            straightened.re[to + n] = moved.re[from + n];
            straightened.im[to + n] = moved.im[from + n];
        }
    }

    private void step(int step) {
        boolean start = step == 0;
        workers.run(lines, warp);
        System.arraycopy(axial, 0, axialData, 0, axial.length);
        if (lateral != null) {
            System.arraycopy(lateral, 0, lateralData, 0, lateral.length);
        }
        local.measure(
                warpedRe, warpedIm, start, axialData, axialWeight, lateralData, lateralWeight);
        jump = (float) config.jump() * (start ? COARSE_JUMPS : 1);
        workers.run(lines, hold);
        solver.smooth(axialData, axialWeight, holdAlong, holdAcross, axial, ROUNDS);
        if (lateral != null) {
            solver.smooth(lateralData, lateralWeight, holdAlong, holdAcross, lateral, ROUNDS);
        }
    }

    private void warpLine(int line, int worker) {
        int to = line * length;
        double wavelength = geometry.wavelength();
        if (lateral == null) {
            FractionalShift.warp(moved, line, axial, wavelength, warpedRe, warpedIm, to);
        } else {
            FractionalShift.warp(moved, line, axial, lateral, wavelength, warpedRe, warpedIm, to);
        }
    }

    /** Lets go of smoothness where the motion bends more than tissue does. */
    private void holdLine(int line, int worker) {
        int to = line * length;
        bends(to, 1, 1, length - 1, holdAlong);
        if (line >= 1 && line < lines - 1) {
            bends(to, length, 0, length, holdAcross);
        }
    }

    private void bends(int to, int step, int from, int end, float[] out) {
        float scale = 1 / (jump * jump);
        float lateralScale = scale * pitch * pitch / (LATERAL_JUMPS * LATERAL_JUMPS);
        for (int n = to + from; n < to + end; n++) {
            float bend = axial[n - step] - 2 * axial[n] + axial[n + step];
            float share = bend * bend * scale;
            if (lateral != null) {
                float sideways = lateral[n - step] - 2 * lateral[n] + lateral[n + step];
                share += sideways * sideways * lateralScale;
            }
            out[n] = 1 / (1 + share);
        }
    }
}
