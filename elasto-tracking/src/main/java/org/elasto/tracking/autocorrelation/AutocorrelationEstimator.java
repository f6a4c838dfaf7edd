package org.elasto.tracking.autocorrelation;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.BoxWindow;
import org.elasto.tracking.shared.FramePair;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.LineProduct;
import org.elasto.tracking.shared.MatchJudge;
import org.elasto.tracking.shared.PairTracker;
import org.elasto.tracking.shared.SubsamplePeak;

/** See {@link FixedAutocorrelationProvider} and {@link LocalAutocorrelationProvider}. */
final class AutocorrelationEstimator extends PairTracker {

    /** Samples that are summed across the lines in one task. */
    private static final int STRETCH = 64;

    /**
     * The planes: complex products at lags of half a wavelength, 0, and half a wavelength, and of
     * neighbours in depth; energies, and the first moment of the first frame's energy in depth.
     */
    private static final int BEFORE = 0;

    private static final int MIDDLE = 2;
    private static final int AFTER = 4;
    private static final int NEIGHBOURS = 6;
    private static final int ENERGIES = 8;
    private static final int MOMENT = 10;
    private static final int PLANES = 11;

    /** By how much a match elsewhere may seem the better one, for windows are not quite alike. */
    private static final float DRAW = 0.05f;

    private final boolean local;
    private final ScanGeometry geometry;
    private final Workers workers;
    private final FieldLayout layout;
    private final int lines;
    private final int length;
    private final int rowStep;

    /** Half a wavelength in samples, rounded. */
    private final int otherLag;

    private final BoxWindow window;
    private final MatchJudge judge;

    private final float[][] planes;
    private final float[] displacement;

    /** Measured centre frequency over the assumed one. */
    private final float[] relativeFrequency;

    private final boolean[] doubtful;

    /** Greatest correlation of the frames half a wavelength before and behind each other. */
    private final float[] beside;

    /** How far the echo's centre of energy lies behind the middle of the window (samples). */
    private final float[] centre;

    private final float[][] scratch;
    private final double[][][] sums;
    private final Workers.Task multiply = this::multiplyLine;
    private final Workers.Task solve = this::solveStretch;

    AutocorrelationEstimator(
            boolean local, AutocorrelationConfig config, ScanGeometry geometry, Workers workers) {
        super(new FramePair(geometry, config.bandwidth(), 2, workers));
        this.local = local;
        this.geometry = geometry;
        this.workers = workers;
        MatchJudge.checkDepth(config.windowLength(), geometry);
        // Twice as dense as the band needs: the phase from sample to sample is that of the mean
        // frequency only where samples lie close.
        lines = reference.lines;
        length = reference.length;
        double spacing = reference.spacing;
        otherLag = (int) Math.max(1, Math.rint(geometry.wavelength() / 2 / spacing));
        double pitch = pair.pitch;
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
                        false,
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
        planes = new float[PLANES][size];
        displacement = new float[size];
        relativeFrequency = new float[size];
        doubtful = new boolean[size];
        beside = new float[size];
        centre = new float[size];
        scratch = new float[2 * workers.count()][length];
        sums = new double[workers.count()][PLANES][STRETCH];
    }

    @Override
    public FieldLayout layout() {
        return layout;
    }

    @Override
    protected void track(DisplacementField out) {
        workers.run(lines, multiply);
        workers.run((length + STRETCH - 1) / STRETCH, solve);
        judge.judge(reference, moved, displacement, null, out);
        window.complete(out, rowStep, length);
        leaveOutDoubtful(out);
        widenDeviation(out);
    }

    /** All products of a line, summed along it. */
    private void multiplyLine(int line, int worker) {
        int at = line * reference.stride + BasebandFrame.MARGIN;
        multiply(worker, line, BEFORE, at, at - otherLag);
        multiply(worker, line, MIDDLE, at, at);
        multiply(worker, line, AFTER, at, at + otherLag);
        float[] re = scratch[2 * worker];
        float[] im = scratch[2 * worker + 1];
        Arrays.fill(re, 0f);
        Arrays.fill(im, 0f);
        LineProduct.addNeighbours(reference.re, reference.im, at, re, im, 0, length);
        LineProduct.addNeighbours(moved.re, moved.im, at, re, im, 0, length);
        sumAlong(worker, line, NEIGHBOURS);
        LineProduct.squaredMagnitude(reference.re, reference.im, at, re, 0, length);
        LineProduct.squaredMagnitude(moved.re, moved.im, at, im, 0, length);
        sumAlong(worker, line, ENERGIES);
        for (int n = 0; n < length; n++) {
            re[n] *= n;
        }
        window.sumAlong(re, 0, planes[MOMENT], line * length, length);
    }

    private void multiply(int worker, int line, int plane, int a, int b) {
        LineProduct.conjugate(
                reference.re,
                reference.im,
                a,
                moved.re,
                moved.im,
                b,
                scratch[2 * worker],
                scratch[2 * worker + 1],
                0,
                length);
        sumAlong(worker, line, plane);
    }

    private void sumAlong(int worker, int line, int plane) {
        window.sumAlong(scratch[2 * worker], 0, planes[plane], line * length, length);
        window.sumAlong(scratch[2 * worker + 1], 0, planes[plane + 1], line * length, length);
    }

    /** Sums a stretch of depth across the lines and solves for the displacement. */
    private void solveStretch(int stretch, int worker) {
        int first = stretch * STRETCH;
        int n = Math.min(STRETCH, length - first);
        double[][] s = sums[worker];
        for (int line = 0; line < lines; line++) {
            for (int plane = 0; plane < PLANES; plane++) {
                window.slideAcross(planes[plane], length, lines, line, first, n, s[plane]);
            }
            for (int k = 0; k < n; k++) {
                solve(s, k, line * length + first + k);
            }
        }
    }

    private void solve(double[][] s, int k, int to) {
        double wavelength = geometry.wavelength();
        double samplingFrequency = geometry.soundSpeed() / (2 * reference.spacing);
        double phase = Math.atan2(s[MIDDLE + 1][k], s[MIDDLE][k]);
        double turn = Math.atan2(s[NEIGHBOURS + 1][k], s[NEIGHBOURS][k]) / (2 * Math.PI);
        double frequency = 1 + turn * samplingFrequency / geometry.centreFrequency();
        relativeFrequency[to] = (float) frequency;
        if (local) {
            wavelength /= Math.max(0.1, frequency);
        }
        double u = -phase * wavelength / (4 * Math.PI);
        displacement[to] = (float) u;
        double before = Math.hypot(s[BEFORE][k], s[BEFORE + 1][k]);
        double middle = Math.hypot(s[MIDDLE][k], s[MIDDLE + 1][k]);
        double after = Math.hypot(s[AFTER][k], s[AFTER + 1][k]);
        double byPeak =
                otherLag * reference.spacing * SubsamplePeak.gaussian(before, middle, after);
        // False for NaN: no peak anywhere near is no reason to believe the phase.
        doubtful[to] = !(Math.abs(byPeak - u) <= wavelength / 4);
        double energies = Math.sqrt(Math.max(0, s[ENERGIES][k] * s[ENERGIES + 1][k]));
        beside[to] = (float) (Math.max(before, after) / energies);
        centre[to] = (float) (s[MOMENT][k] / s[ENERGIES][k] - to % length);
    }

    /**
     * The phase is the same again every half wavelength. Left out is where the peak of the
     * correlation lies elsewhere, and where the frames match better half a wavelength off than
     * after the displacement has been undone.
     */
    private void leaveOutDoubtful(DisplacementField out) {
        int rows = layout.grid().rows();
        for (int line = 0; line < lines; line++) {
            for (int row = 0; row < rows; row++) {
                int from = line * length + row * rowStep;
                int to = line * rows + row;
                if (doubtful[from] || beside[from] > out.correlation()[to] + DRAW) {
                    out.markUnknown(to);
                }
            }
        }
    }

    /**
     * Widens the deviation by what is not random noise. The centre of the echo's energy lies off
     * the middle of its window, and under strain the displacement there is another. And with the
     * centre frequency assumed, a window whose own centre frequency is another is off by as large a
     * share of the displacement. How far centres and frequencies lie off is measured over the
     * frame.
     */
    private void widenDeviation(DisplacementField out) {
        int rows = layout.grid().rows();
        double frequencies = 0;
        double centres = 0;
        long known = 0;
        for (int i = 0; i < lines * rows; i++) {
            if (out.correlation()[i] > 0) {
                int from = i / rows * length + i % rows * rowStep;
                double off = relativeFrequency[from] - 1;
                frequencies += off * off;
                centres += centre[from] * centre[from];
                known++;
            }
        }
        double share = known == 0 || local ? 0 : Math.sqrt(frequencies / known);
        double samples = known == 0 ? 0 : Math.sqrt(centres / known);
        for (int i = 0; i < lines * rows; i++) {
            if (out.correlation()[i] > 0) {
                double byFrequency = share * out.axial()[i];
                double byCentre = samples * perSample(i / rows * length, i % rows * rowStep);
                double noise = out.axialDeviation()[i];
                out.axialDeviation()[i] =
                        (float)
                                Math.sqrt(
                                        noise * noise
                                                + byFrequency * byFrequency
                                                + byCentre * byCentre);
            }
        }
    }

    /** Change of the displacement from sample to sample, over a window's length. */
    private double perSample(int line, int n) {
        int first = Math.max(0, n - window.length() / 2);
        int last = Math.min(length - 1, n + window.length() / 2);
        return last > first
                ? (displacement[line + last] - displacement[line + first]) / (last - first)
                : 0;
    }
}
