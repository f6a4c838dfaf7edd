package org.elasto.tracking.correlation;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.CoarseSearch;
import org.elasto.tracking.shared.FractionalShift;
import org.elasto.tracking.shared.FramePair;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.MatchJudge;

/** See {@link CrossCorrelationProvider}. */
final class CrossCorrelationEstimator implements DisplacementEstimator {

    /** Depth over which displacement runs smooth before it stretches windows, in window lengths. */
    private static final double RUNNING_LENGTH = 2;

    private final CrossCorrelationConfig config;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final FieldLayout layout;
    private final int lines;
    private final int samples;
    private final int rows;
    private final int rowSamples;
    private final int halfWindow;
    private final int rowStep;
    private final FramePair pair;
    private final BasebandFrame reference;
    private final BasebandFrame moved;
    private final CoarseSearch coarse;
    private final MatchJudge judge;

    /** Displacement (m) of every baseband sample: first the coarse one, then that of the rows. */
    private final float[] displacement;

    private final boolean[] complete;

    /**
     * The frames at the full sampling rate, and the strain that second windows are stretched by.
     */
    private final BasebandFrame referenceFull;

    private final BasebandFrame movedFull;
    private final GaussianWindow running;
    private final float[] edgeWeights;
    private final Scratch[] scratch;
    private final Workers.Task shift = this::shiftLine;
    private final Workers.Task stretch = this::stretchLine;

    CrossCorrelationEstimator(
            CrossCorrelationConfig config, ScanGeometry geometry, Workers workers) {
        this.config = config;
        this.geometry = geometry;
        this.workers = workers;
        MatchJudge.checkDepth(config.windowLength(), geometry);
        pair = new FramePair(geometry, config.bandwidth(), workers);
        reference = pair.reference;
        moved = pair.moved;
        coarse = new CoarseSearch(geometry, reference, pair.band, config.searchRange(), workers);
        lines = geometry.lines();
        samples = geometry.samples();
        double spacing = reference.spacing;
        rowStep = pair.rowStep(config.rowSpacing());
        rowSamples = rowStep * pair.decimation;
        halfWindow = (int) Math.round((config.windowLength() / geometry.sampleSpacing() - 1) / 2);
        double windowLength = (2 * halfWindow + 1) * geometry.sampleSpacing();
        layout =
                new FieldLayout(
                        geometry,
                        MatchJudge.grid(reference, rowStep, geometry),
                        false,
                        new ErrorCorrelation(ErrorCorrelation.Shape.TRIANGULAR, windowLength));
        rows = layout.grid().rows();
        judge =
                new MatchJudge(
                        geometry,
                        reference,
                        GaussianWindow.ofLength(windowLength / spacing, reference.length),
                        GaussianWindow.ofLength(0, 0),
                        rowStep,
                        config.minimumCorrelation(),
                        workers);
        displacement = new float[lines * reference.length];
        complete = new boolean[lines * rows];
        referenceFull = new BasebandFrame(geometry, pair.band, 1, workers);
        movedFull = new BasebandFrame(geometry, pair.band, 1, workers);
        int length = reference.length;
        running = GaussianWindow.ofLength(RUNNING_LENGTH * windowLength / spacing, length);
        scratch = new Scratch[workers.count()];
        for (int i = 0; i < scratch.length; i++) {
            scratch[i] =
                    new Scratch(
                            new LineCorrelator(geometry, halfWindow, config.peak()),
                            samples,
                            length,
                            running.halfWidth());
        }
        edgeWeights = new float[length];
        Scratch any = scratch[0];
        Arrays.fill(any.padded, running.halfWidth(), running.halfWidth() + length, 1f);
        running.smooth(any.padded, running.halfWidth(), edgeWeights, 0, length);
    }

    @Override
    public FieldLayout layout() {
        return layout;
    }

    @Override
    public void estimate(RfFrame referenceFrame, RfFrame movedFrame, DisplacementField out) {
        pair.load(referenceFrame, movedFrame, out, layout);
        coarse.search(reference, moved, displacement);
        referenceFull.load(referenceFrame);
        movedFull.load(movedFrame);
        if (config.stretching() == 0) {
            workers.run(lines, shift);
        }
        for (int i = 0; i < config.stretching(); i++) {
            workers.run(lines, stretch);
        }
        judge.judge(reference, moved, displacement, null, out);
        for (int i = 0; i < complete.length; i++) {
            if (!complete[i]) {
                out.markUnknown(i);
            }
        }
    }

    /** Correlates a line with the other as it is. */
    private void shiftLine(int line, int worker) {
        Scratch s = scratch[worker];
        int at = line * referenceFull.stride + BasebandFrame.MARGIN;
        s.correlator.load(referenceFull.re, referenceFull.im, at, movedFull.re, movedFull.im, at);
        Arrays.fill(s.running, 0f);
        correlateRows(line, s);
    }

    /** Correlates a line with the other after undoing the motion found so far, run smooth. */
    private void stretchLine(int line, int worker) {
        Scratch s = scratch[worker];
        runSmooth(line, s);
        FractionalShift.warp(
                movedFull, line, s.running, geometry.wavelength(), s.warpedRe, s.warpedIm, 0);
        int at = line * referenceFull.stride + BasebandFrame.MARGIN;
        s.correlator.load(referenceFull.re, referenceFull.im, at, s.warpedRe, s.warpedIm, 0);
        correlateRows(line, s);
    }

    /**
     * The displacement of a line, smoothed over twice the window and brought to the full sampling
     * rate: what it still tells of strain is worth stretching by.
     */
    private void runSmooth(int line, Scratch s) {
        int length = reference.length;
        int margin = running.halfWidth();
        System.arraycopy(displacement, line * length, s.padded, margin, length);
        running.smooth(s.padded, margin, s.smooth, 0, length);
        for (int n = 0; n < length; n++) {
            s.smooth[n] /= edgeWeights[n];
        }
        int step = rowSamples / rowStep;
        for (int n = 0; n < samples; n++) {
            int k = Math.min(n / step, length - 1);
            int next = Math.min(k + 1, length - 1);
            float share = (float) (n - k * step) / step;
            s.running[n] = s.smooth[k] + share * (s.smooth[next] - s.smooth[k]);
        }
    }

    private void correlateRows(int line, Scratch s) {
        double spacing = geometry.sampleSpacing();
        int length = reference.length;
        int at = line * length;
        float before = displacement[at];
        for (int row = 0; row < rows; row++) {
            int n = at + row * rowStep;
            int middle = row * rowSamples;
            float start = displacement[n];
            int lag = (int) Math.rint((start - s.running[middle]) / spacing);
            double found = s.correlator.displacement(middle, lag);
            boolean known = !Double.isNaN(found);
            complete[line * rows + row] = known;
            float here = known ? (float) (found * spacing) + s.runningAt(middle + found) : start;
            // Between rows the displacement runs straight.
            for (int k = 1; k <= rowStep && row > 0; k++) {
                displacement[n - rowStep + k] = before + (here - before) * k / rowStep;
            }
            displacement[n] = here;
            before = here;
        }
        for (int n = at + (rows - 1) * rowStep + 1; n < at + length; n++) {
            displacement[n] = before;
        }
    }

    /** Workspace of one worker. */
    private static final class Scratch {
        final LineCorrelator correlator;
        final float[] padded;
        final float[] smooth;

        /** Displacement (m) that the second line was warped by, at the full sampling rate. */
        final float[] running;

        final float[] warpedRe;
        final float[] warpedIm;

        Scratch(LineCorrelator correlator, int samples, int length, int margin) {
            this.correlator = correlator;
            padded = new float[length + 2 * margin];
            smooth = new float[length];
            running = new float[samples];
            warpedRe = new float[samples];
            warpedIm = new float[samples];
        }

        float runningAt(double sample) {
            int n = (int) Math.max(0, Math.min(running.length - 2, sample));
            return running[n] + (float) (sample - n) * (running[n + 1] - running[n]);
        }
    }
}
