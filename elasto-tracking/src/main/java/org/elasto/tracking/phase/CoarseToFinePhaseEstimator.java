package org.elasto.tracking.phase;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.CoarseSearch;
import org.elasto.tracking.shared.FractionalShift;
import org.elasto.tracking.shared.FramePair;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.LineEnds;
import org.elasto.tracking.shared.MatchJudge;
import org.elasto.tracking.shared.PairTracker;
import org.elasto.tracking.shared.WindowScratch;

/** See {@link CoarseToFinePhaseProvider}. */
final class CoarseToFinePhaseEstimator extends PairTracker {

    private final CoarseToFinePhaseConfig config;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final FieldLayout layout;
    private final int lines;
    private final int length;
    private final CoarseSearch coarse;
    private final GaussianWindow along;
    private final GaussianWindow across;
    private final LineEnds ends;
    private final float[] endFactors;
    private final float[] sideFactors;
    private final int rowStep;
    private final MatchJudge judge;

    /** Running displacement (m) and how far it is believed, line after line. */
    private final float[] displacement;

    private final float[] belief;

    /** The moved frame with the running displacement undone. */
    private final float[] warpedRe;

    private final float[] warpedIm;

    /** Planes smoothed along the lines, waiting to be smoothed across them. */
    private final float[] productRe;

    private final float[] productIm;
    private final float[] referenceEnergy;
    private final float[] movedEnergy;
    private final float[] believedDisplacement;
    private final float[] smoothBelief;

    private final WindowScratch[] scratch;
    private final Workers.Task prepare = this::prepareLine;
    private final Workers.Task multiply = this::multiplyLine;
    private final Workers.Task step = this::stepLine;

    CoarseToFinePhaseEstimator(
            CoarseToFinePhaseConfig config, ScanGeometry geometry, Workers workers) {
        super(new FramePair(geometry, config.bandwidth(), workers));
        this.config = config;
        this.geometry = geometry;
        this.workers = workers;
        MatchJudge.checkDepth(config.windowLength(), geometry);
        lines = reference.lines;
        length = reference.length;
        double spacing = reference.spacing;
        coarse = new CoarseSearch(geometry, reference, pair.band, config.searchRange(), workers);
        along = GaussianWindow.ofLength(config.windowLength() / spacing, length);
        ends = new LineEnds(along, length, geometry.wavelength() / 2);
        double pitch = pair.pitch;
        across = GaussianWindow.ofLength(config.windowWidth() / pitch, lines);
        endFactors = along.endFactors(length);
        sideFactors = across.endFactors(lines);
        rowStep = pair.rowStep(config.rowSpacing());
        layout =
                new FieldLayout(
                        geometry,
                        MatchJudge.grid(reference, rowStep, geometry),
                        false,
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
        int size = lines * length;
        displacement = new float[size];
        belief = new float[size];
        warpedRe = new float[size];
        warpedIm = new float[size];
        productRe = new float[size];
        productIm = new float[size];
        referenceEnergy = new float[size];
        movedEnergy = new float[size];
        believedDisplacement = new float[size];
        smoothBelief = new float[size];
        scratch = WindowScratch.forWorkers(workers, length, along);
    }

    @Override
    public FieldLayout layout() {
        return layout;
    }

    @Override
    protected void track(DisplacementField out) {
        coarse.search(reference, moved, displacement);
        Arrays.fill(belief, 1f);
        workers.run(lines, prepare);
        for (int i = 0; i < config.steps(); i++) {
            workers.run(lines, multiply);
            workers.run(lines, step);
        }
        ends.straighten(displacement);
        judge.judge(reference, moved, displacement, null, out);
        LineEnds.allowForEnds(out, rowStep, endFactors, endFactors, sideFactors);
        ends.allowForStraightening(displacement, out, rowStep);
    }

    private void prepareLine(int line, int worker) {
        scratch[worker].energyAlong(along, reference, line, referenceEnergy);
    }

    /** Undoes the running displacement of a line, and correlates it along the line. */
    private void multiplyLine(int line, int worker) {
        WindowScratch s = scratch[worker];
        double wavelength = geometry.wavelength();
        int to = line * length;
        FractionalShift.warp(moved, line, displacement, wavelength, warpedRe, warpedIm, to);
        s.correlateAlong(
                along, reference, line, warpedRe, warpedIm, productRe, productIm, movedEnergy);
        s.meanAlong(along, line, displacement, belief, believedDisplacement, smoothBelief);
    }

    /**
     * One Gauss-Newton step. The new displacement is the window's mean of the old one and of what
     * the phase of the correlation adds, so that however many steps are taken the noise stays that
     * of one window.
     */
    private void stepLine(int line, int worker) {
        WindowScratch s = scratch[worker];
        s.correlateAcross(across, lines, line, productRe, productIm, referenceEnergy, movedEnergy);
        across.smoothAcross(believedDisplacement, length, lines, line, length, s.mean);
        across.smoothAcross(smoothBelief, length, lines, line, length, s.weight);
        float metresPerRadian = (float) (-geometry.wavelength() / (4 * Math.PI));
        int to = line * length;
        for (int n = 0; n < length; n++) {
            float phase = (float) Math.atan2(s.im[n], s.re[n]);
            displacement[to + n] = s.mean[n] / s.weight[n] + metresPerRadian * phase;
            float r2 = s.correlation2(n);
            // What does not match must not pull on what does.
            belief[to + n] = Math.max(1e-3f, r2 * r2);
        }
    }
}
