package org.elasto.tracking.blockmatching;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.BoxWindow;
import org.elasto.tracking.shared.CoarseSearch;
import org.elasto.tracking.shared.FractionalShift;
import org.elasto.tracking.shared.FramePair;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.LineProduct;
import org.elasto.tracking.shared.MatchJudge;
import org.elasto.tracking.shared.PairTracker;

/** See {@link BlockMatchingProvider}. */
final class BlockMatchingEstimator extends PairTracker {

    /** Samples that are summed across the lines in one task. */
    private static final int STRETCH = 64;

    /**
     * What does not match must not pull on what does, but where nothing does it is all there is.
     */
    private static final float LEAST_BELIEF = 1e-3f;

    /** A line and its two neighbours: fewer show no slope across the lines, nor lateral motion. */
    private static final int LEAST_LINES = 3;

    /** Axial candidates on either side of the coarse displacement, in baseband samples. */
    private static final int AXIAL_REACH = 1;

    /**
     * Planes of a refining step: the warped frame times the first and times its slope, each
     * complex, the energy of the warped frame, belief, and believed displacements.
     */
    private static final int PRODUCT = 0;

    private static final int SLOPE = 2;
    private static final int ENERGY = 4;
    private static final int BELIEF = 5;
    private static final int AXIAL = 6;
    private static final int LATERAL = 7;
    private static final int PLANES = 8;

    /** Of the first frame alone: energy, product with its own slope, and curvature. */
    private static final int REFERENCE = 0;

    private static final int SELF = 1;
    private static final int CURVATURE = 3;
    private static final int REFERENCE_PLANES = 4;

    /** How far beyond the outermost line still counts as on it, in lines. */
    private static final float ON_A_LINE = 0.02f;

    /** Least share of a block's energy that must have a place within the moved frame. */
    private static final float LEAST_COVERED = 0.3f;

    private final BlockMatchingConfig config;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final FieldLayout layout;
    private final int lines;
    private final int length;
    private final int lateralReach;
    private final int rowStep;
    private final CoarseSearch coarse;
    private final BoxWindow window;
    private final MatchJudge judge;

    /** Running displacement, axial (m) and lateral (lines), and how far it is believed. */
    private final float[] axial;

    private final float[] lateral;
    private final float[] belief;

    /** The coarse displacement (m). */
    private final float[] start;

    /** The moved frame with the running displacement undone. */
    private final float[] warpedRe;

    private final float[] warpedIm;

    /** Energy of the first frame in the block around each sample, and of the warped one. */
    private final float[] referenceEnergy;

    private final float[] movedEnergy;

    /** Share of the energy of each block whose place in the moved frame can be read. */
    private final float[] covered;

    /** Whether the first frame tells anything about lateral motion there. */
    private final boolean[] sharp;

    /** Slope of the first frame across the lines, per line. */
    private final float[] slopeRe;

    private final float[] slopeIm;

    /** Squared correlation of the best candidate so far, and which it is. */
    private final float[] best;

    private final short[] bestCandidate;

    private final float[][] planes;

    /** Sums along the lines of the first frame alone, and which lines are not whole in them. */
    private final float[][] referencePlanes;

    private final boolean[] cut;
    private final float[][] scratch;

    /** Samples of the line at hand whose place in the moved frame cannot be read. */
    private final boolean[][] missing;

    private final double[][][] sums;
    private final Workers.Task prepare = this::prepareLine;
    private final Workers.Task sumPrepared = this::sumPrepared;
    private final Workers.Task multiplyCandidate = this::multiplyCandidate;
    private final Workers.Task compareCandidate = this::compareCandidate;
    private final Workers.Task take = this::takeLine;
    private final Workers.Task multiply = this::multiplyLine;
    private final Workers.Task refine = this::refineStretch;

    /** The candidate at hand. */
    private int axialLag;

    private int lateralLag;

    BlockMatchingEstimator(BlockMatchingConfig config, ScanGeometry geometry, Workers workers) {
        super(new FramePair(geometry, config.bandwidth(), workers));
        this.config = config;
        this.geometry = geometry;
        this.workers = workers;
        MatchJudge.checkDepth(config.windowLength(), geometry);
        lines = reference.lines;
        length = reference.length;
        double spacing = reference.spacing;
        coarse = new CoarseSearch(geometry, reference, pair.band, config.searchRange(), workers);
        double pitch = pair.pitch;
        lateralReach =
                lines < LEAST_LINES
                        ? 0
                        : (int)
                                Math.min(
                                        lines - 1, Math.ceil(config.lateralRange() / pitch - 1e-9));
        window =
                new BoxWindow(
                        config.windowLength() / spacing,
                        config.windowWidth() / pitch,
                        length,
                        lines);
        rowStep = pair.rowStep(config.rowSpacing());
        layout =
                new FieldLayout(
                        geometry,
                        MatchJudge.grid(reference, rowStep, geometry),
                        lines >= LEAST_LINES,
                        new ErrorCorrelation(
                                ErrorCorrelation.Shape.TRIANGULAR, window.length() * spacing),
                        new ErrorCorrelation(
                                ErrorCorrelation.Shape.TRIANGULAR,
                                window.width() > 1 ? window.width() * pitch : 0));
        judge =
                new MatchJudge(
                        geometry,
                        reference,
                        GaussianWindow.ofLength(window.length(), length),
                        GaussianWindow.ofLength(window.width() > 1 ? window.width() : 0, lines),
                        rowStep,
                        config.minimumCorrelation(),
                        workers);
        int size = lines * length;
        axial = new float[size];
        lateral = new float[size];
        belief = new float[size];
        start = new float[size];
        warpedRe = new float[size];
        warpedIm = new float[size];
        referenceEnergy = new float[size];
        movedEnergy = new float[size];
        covered = new float[size];
        sharp = new boolean[size];
        slopeRe = new float[size];
        slopeIm = new float[size];
        best = new float[size];
        bestCandidate = new short[size];
        planes = new float[PLANES][size];
        referencePlanes = new float[REFERENCE_PLANES][size];
        cut = new boolean[lines];
        scratch = new float[2 * workers.count()][length];
        sums = new double[workers.count()][PLANES + REFERENCE_PLANES][STRETCH];
        missing = new boolean[workers.count()][length];
    }

    @Override
    public FieldLayout layout() {
        return layout;
    }

    @Override
    protected void track(DisplacementField out) {
        coarse.search(reference, moved, start);
        int stretches = (length + STRETCH - 1) / STRETCH;
        workers.run(lines, prepare);
        workers.run(stretches, sumPrepared);
        Arrays.fill(best, -1f);
        // From the middle outwards, and a later one must be better: the smaller motion wins a draw.
        for (int i = 0; i <= 2 * lateralReach; i++) {
            lateralLag = (i + 1) / 2 * (i % 2 == 0 ? 1 : -1);
            for (int j = 0; j <= 2 * AXIAL_REACH; j++) {
                axialLag = (j + 1) / 2 * (j % 2 == 0 ? 1 : -1);
                workers.run(lines, multiplyCandidate);
                workers.run(stretches, compareCandidate);
            }
        }
        workers.run(lines, take);
        for (int i = 0; i < config.steps(); i++) {
            workers.run(lines, multiply);
            workers.run(stretches, refine);
        }
        judge.judge(reference, moved, axial, layout.lateral() ? lateral : null, out);
        complete(out);
    }

    /** Undoes the coarse displacement, and sums along the line what stays the same later. */
    private void prepareLine(int line, int worker) {
        int to = line * length;
        FractionalShift.warp(moved, line, start, geometry.wavelength(), warpedRe, warpedIm, to);
        float[] x = scratch[2 * worker];
        LineProduct.squaredMagnitude(warpedRe, warpedIm, to, x, 0, length);
        window.sumAlong(x, 0, planes[ENERGY], to, length);
        slope(line);
        Arrays.fill(missing[worker], false);
        sumReference(line, worker);
        cut[line] = false;
    }

    /** Sums of the first frame alone along a line, but for samples that are missing. */
    private void sumReference(int line, int worker) {
        int to = line * length;
        int at = line * reference.stride + BasebandFrame.MARGIN;
        float[] x = scratch[2 * worker];
        float[] y = scratch[2 * worker + 1];
        LineProduct.squaredMagnitude(reference.re, reference.im, at, x, 0, length);
        sumPresent(x, REFERENCE, to, worker);
        LineProduct.conjugate(
                slopeRe, slopeIm, to, reference.re, reference.im, at, x, y, 0, length);
        sumPresent(x, SELF, to, worker);
        sumPresent(y, SELF + 1, to, worker);
        differences(line, x);
        sumPresent(x, CURVATURE, to, worker);
    }

    private void sumPresent(float[] x, int plane, int to, int worker) {
        boolean[] absent = missing[worker];
        for (int n = 0; n < length; n++) {
            x[n] = absent[n] ? 0f : x[n];
        }
        window.sumAlong(x, 0, referencePlanes[plane], to, length);
    }

    /** Slope across the lines by the line before and the one after; 0 for the outermost. */
    private void slope(int line) {
        int to = line * length;
        boolean inner = line > 0 && line < lines - 1;
        int before = (inner ? line - 1 : line) * reference.stride + BasebandFrame.MARGIN;
        int after = (inner ? line + 1 : line) * reference.stride + BasebandFrame.MARGIN;
        for (int n = 0; n < length; n++) {
            slopeRe[to + n] = 0.5f * (reference.re[after + n] - reference.re[before + n]);
            slopeIm[to + n] = 0.5f * (reference.im[after + n] - reference.im[before + n]);
        }
    }

    /** Half the squared differences from the two neighbouring lines; 0 for the outermost lines. */
    private void differences(int line, float[] out) {
        Arrays.fill(out, 0f);
        if (line == 0 || line == lines - 1) {
            return;
        }
        float[] re = reference.re;
        float[] im = reference.im;
        int at = line * reference.stride + BasebandFrame.MARGIN;
        for (int side = -1; side <= 1; side += 2) {
            int other = at + side * reference.stride;
            for (int n = 0; n < length; n++) {
                float dRe = re[other + n] - re[at + n];
                float dIm = im[other + n] - im[at + n];
                out[n] += 0.5f * (dRe * dRe + dIm * dIm);
            }
        }
    }

    private void sumPrepared(int stretch, int worker) {
        int first = stretch * STRETCH;
        int n = Math.min(STRETCH, length - first);
        double[][] s = sums[worker];
        for (int line = 0; line < lines; line++) {
            sumPrepared(referencePlanes[REFERENCE], line, first, n, s[0], referenceEnergy);
            sumPrepared(planes[ENERGY], line, first, n, s[1], movedEnergy);
        }
    }

    private void sumPrepared(
            float[] plane, int line, int first, int n, double[] sums, float[] out) {
        window.slideAcross(plane, length, lines, line, first, n, sums);
        int to = line * length + first;
        for (int k = 0; k < n; k++) {
            out[to + k] = (float) sums[k];
        }
    }

    /** Product of a line with the candidate's place in the moved frame, summed along the line. */
    private void multiplyCandidate(int line, int worker) {
        float[] re = scratch[2 * worker];
        float[] im = scratch[2 * worker + 1];
        int other = line + lateralLag;
        Arrays.fill(re, 0f);
        Arrays.fill(im, 0f);
        if (other >= 0 && other < lines) {
            int from = Math.max(0, -axialLag);
            int n = length - Math.abs(axialLag);
            LineProduct.conjugate(
                    reference.re,
                    reference.im,
                    line * reference.stride + BasebandFrame.MARGIN + from,
                    warpedRe,
                    warpedIm,
                    other * length + from + axialLag,
                    re,
                    im,
                    from,
                    Math.max(0, n));
        }
        window.sumAlong(re, 0, planes[0], line * length, length);
        window.sumAlong(im, 0, planes[1], line * length, length);
    }

    /** Sums the candidate's products across the lines and keeps it where it is the best. */
    private void compareCandidate(int stretch, int worker) {
        int first = stretch * STRETCH;
        int n = Math.min(STRETCH, length - first);
        double[][] s = sums[worker];
        short candidate = (short) (lateralLag * (2 * AXIAL_REACH + 1) + axialLag);
        for (int line = 0; line < lines; line++) {
            window.slideAcross(planes[0], length, lines, line, first, n, s[0]);
            window.slideAcross(planes[1], length, lines, line, first, n, s[1]);
            int other = line + lateralLag;
            if (other < 0 || other >= lines) {
                continue;
            }
            int from = Math.max(0, -(first + axialLag));
            int end = Math.min(n, length - first - axialLag);
            int at = line * length + first;
            int there = other * length + first + axialLag;
            for (int k = from; k < end; k++) {
                float re = (float) s[0][k];
                float im = (float) s[1][k];
                float energies = referenceEnergy[at + k] * movedEnergy[there + k];
                float r2 = energies > 0 ? (re * re + im * im) / energies : 0f;
                if (r2 > best[at + k]) {
                    best[at + k] = r2;
                    bestCandidate[at + k] = candidate;
                }
            }
        }
    }

    /** Takes the best candidate of each block of a line. */
    private void takeLine(int line, int worker) {
        int axialLags = 2 * AXIAL_REACH + 1;
        for (int n = 0; n < length; n++) {
            int at = line * length + n;
            int candidate = bestCandidate[at];
            int across = Math.floorDiv(candidate + AXIAL_REACH, axialLags);
            int along = candidate - across * axialLags;
            axial[at] = (float) (start[at + across * length + along] + along * reference.spacing);
            lateral[at] = across;
            float r2 = Math.min(1f, best[at]);
            belief[at] = Math.max(LEAST_BELIEF, r2 * r2);
        }
    }

    /** Undoes the running displacement of a line and sums what a refining step needs along it. */
    private void multiplyLine(int line, int worker) {
        int to = line * length;
        FractionalShift.warp(
                moved, line, axial, lateral, geometry.wavelength(), warpedRe, warpedIm, to);
        boolean cutBefore = cut[line];
        cut[line] = findMissing(line, worker);
        if (cut[line] || cutBefore) {
            sumReference(line, worker);
        }
        int at = line * reference.stride + BasebandFrame.MARGIN;
        multiply(reference.re, reference.im, at, line, PRODUCT, worker);
        multiply(slopeRe, slopeIm, to, line, SLOPE, worker);
        float[] x = scratch[2 * worker];
        LineProduct.squaredMagnitude(warpedRe, warpedIm, to, x, 0, length);
        window.sumAlong(x, 0, planes[ENERGY], to, length);
        window.sumAlong(belief, to, planes[BELIEF], to, length);
        weigh(axial, to, x, planes[AXIAL]);
        weigh(lateral, to, x, planes[LATERAL]);
    }

    /**
     * Finds the samples of a line whose place in the moved frame lies beyond its outermost lines,
     * and blanks them.
     */
    private boolean findMissing(int line, int worker) {
        boolean[] absent = missing[worker];
        int to = line * length;
        boolean any = false;
        for (int n = 0; n < length; n++) {
            float place = line + lateral[to + n];
            boolean within = place >= -ON_A_LINE && place <= lines - 1 + ON_A_LINE;
            absent[n] = !within;
            if (!within) {
                warpedRe[to + n] = 0f;
                warpedIm[to + n] = 0f;
                any = true;
            }
        }
        return any;
    }

    private void weigh(float[] value, int to, float[] x, float[] plane) {
        for (int n = 0; n < length; n++) {
            x[n] = belief[to + n] * value[to + n];
        }
        window.sumAlong(x, 0, plane, to, length);
    }

    /** Product of a line of the warped frame with another line, summed along it. */
    private void multiply(float[] re, float[] im, int at, int line, int plane, int worker) {
        float[] outRe = scratch[2 * worker];
        float[] outIm = scratch[2 * worker + 1];
        int to = line * length;
        LineProduct.conjugate(re, im, at, warpedRe, warpedIm, to, outRe, outIm, 0, length);
        window.sumAlong(outRe, 0, planes[plane], to, length);
        window.sumAlong(outIm, 0, planes[plane + 1], to, length);
    }

    /**
     * One Gauss-Newton step. The new displacement is the block's mean of the old one and of what
     * phase and lateral peak of the correlation add, so that however many steps are taken the noise
     * stays that of one block.
     */
    private void refineStretch(int stretch, int worker) {
        int first = stretch * STRETCH;
        int n = Math.min(STRETCH, length - first);
        double[][] s = sums[worker];
        for (int line = 0; line < lines; line++) {
            for (int plane = 0; plane < PLANES; plane++) {
                window.slideAcross(planes[plane], length, lines, line, first, n, s[plane]);
            }
            for (int plane = 0; plane < REFERENCE_PLANES; plane++) {
                window.slideAcross(
                        referencePlanes[plane], length, lines, line, first, n, s[PLANES + plane]);
            }
            for (int k = 0; k < n; k++) {
                refine(s, k, line * length + first + k);
            }
        }
    }

    private void refine(double[][] s, int k, int at) {
        double re = s[PRODUCT][k];
        double im = s[PRODUCT + 1][k];
        double squared = re * re + im * im;
        double energy = s[PLANES + REFERENCE][k];
        double selfRe = s[PLANES + SELF][k];
        double selfIm = s[PLANES + SELF + 1][k];
        double curvature = s[PLANES + CURVATURE][k];
        // What the slope finds in the warped frame beyond what it finds in the first, and what of
        // the curvature is not just a turn or a change of brightness of the whole block.
        double excess = re * s[SLOPE][k] + im * s[SLOPE + 1][k] - squared * selfRe / energy;
        double own = (selfRe * selfRe + selfIm * selfIm) / energy;
        double sharpness = squared / energy * Math.max(0.2 * curvature, curvature - own);
        double beside = sharpness > 0 ? Math.max(-1, Math.min(1, -excess / sharpness)) : 0;
        double phase = Math.atan2(im, re) + Math.atan2(-beside * selfIm, energy + beside * selfRe);
        double weights = s[BELIEF][k];
        axial[at] = (float) (s[AXIAL][k] / weights - phase * geometry.wavelength() / (4 * Math.PI));
        lateral[at] = (float) (s[LATERAL][k] / weights + beside);
        double r2 = squared / (energy * s[ENERGY][k]);
        // False for NaN: silence is not believed.
        belief[at] = r2 > 0 ? (float) Math.max(LEAST_BELIEF, Math.min(1, r2 * r2)) : LEAST_BELIEF;
        covered[at] = (float) (energy / referenceEnergy[at]);
        sharp[at] = sharpness > 0;
    }

    /**
     * Widens the deviation of blocks that lie partly beyond the moved frame, and takes back what
     * was not measured.
     */
    private void complete(DisplacementField out) {
        window.complete(out, rowStep, length);
        int rows = layout.grid().rows();
        for (int line = 0; line < lines; line++) {
            for (int row = 0; row < rows; row++) {
                int from = line * length + row * rowStep;
                int to = line * rows + row;
                if (!(covered[from] >= LEAST_COVERED)) {
                    out.markUnknown(to);
                    continue;
                }
                double factor = 1 / Math.sqrt(Math.min(1, covered[from]));
                out.axialDeviation()[to] *= (float) factor;
                if (layout.lateral()) {
                    out.lateralDeviation()[to] *= (float) factor;
                    if (!sharp[from]) {
                        out.lateral()[to] = Float.NaN;
                        out.lateralDeviation()[to] = Float.NaN;
                    }
                }
            }
        }
    }
}
