package org.elasto.tracking.dynamicprogramming;

import java.util.Arrays;
import org.elasto.api.Check;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.CellGrid;
import org.elasto.tracking.shared.SubsamplePeak;

/**
 * How likely each whole-sample displacement is in each cell of a frame pair: baseband samples along
 * the line times lines across. A cell's window is two blocks of depth by one column of lines; the
 * log-likelihood of a coherence r from N independent samples is -N ln(1 - r&sup2;).
 *
 * <p>The likelihood of lag (axial k, lateral m) of a cell stands at {@code (cell * lags) + m *
 * axialLags + k}, with k and m counted from the most negative lag. One caller at a time; a call
 * allocates nothing.
 */
final class LagLikelihood {

    /** Depth of a block (m): short enough for 5 % of strain to leave the echoes coherent. */
    private static final double BLOCK_DEPTH = 0.45e-3;

    /** Width of a column of lines (m), a little less than that of a beam. */
    private static final double COLUMN_WIDTH = 0.9e-3;

    private static final float GREATEST_COHERENCE = 0.98f;

    final CellGrid grid;
    final int axialLags;
    final int lateralLags;
    final int lags;
    final float[] likelihood;

    private final int lines;
    private final int length;
    private final int blockLength;
    private final int columnLines;
    private final int maxLag;
    private final int maxLateral;
    private final double spacing;
    private final double halfWavelength;
    private final float independentSamples;

    /** Energy of the second frame up to each sample of its padded lines. */
    private final double[] energyUpTo;

    private final Scratch[] scratch;
    private final Workers workers;
    private final Workers.Task accumulate = this::accumulateLine;
    private final Workers.Task correlate = this::correlateColumn;
    private BasebandFrame reference;
    private BasebandFrame moved;

    private static final class Scratch {
        final float[] re;
        final float[] im;
        final float[] referenceEnergy;
        final float[] movedEnergy;
        double sumRe;
        double sumIm;

        Scratch(int blocks, int lags, int lateralLags) {
            re = new float[blocks * lags];
            im = new float[blocks * lags];
            movedEnergy = new float[blocks * lags];
            referenceEnergy = new float[blocks * lateralLags];
        }
    }

    LagLikelihood(
            ScanGeometry geometry,
            BasebandFrame frame,
            double bandwidth,
            double maxDisplacement,
            double maxLateralDisplacement,
            Workers workers) {
        this.workers = workers;
        lines = frame.lines;
        length = frame.length;
        spacing = frame.spacing;
        halfWavelength = geometry.wavelength() / 2;
        double pitch = geometry.lineSpacing(0.5 * geometry.lastDepth());
        blockLength = Math.max(1, Math.min(length, (int) Math.round(BLOCK_DEPTH / spacing)));
        columnLines = Math.max(1, Math.min(lines, (int) Math.round(COLUMN_WIDTH / pitch)));
        int blocks = Math.max(1, length / blockLength);
        int columns = Math.max(1, lines / columnLines);
        grid =
                new CellGrid(
                        columns,
                        blocks,
                        (columnLines - 1) / 2.0,
                        columnLines,
                        blockLength - 0.5,
                        blockLength);
        // Beyond the zeros that surround a line there is nothing to find.
        maxLag = Math.min(length, (int) Math.ceil(maxDisplacement / spacing) + 1);
        maxLateral = Math.min(lines - 1, (int) Math.ceil(maxLateralDisplacement / pitch - 1e-9));
        axialLags = 2 * maxLag + 1;
        lateralLags = 2 * maxLateral + 1;
        lags = axialLags * lateralLags;
        long size = (long) grid.cells() * lags;
        if (size > Integer.MAX_VALUE - 8 || lags > Short.MAX_VALUE) {
            throw new IllegalArgumentException(
                    "search-range and lateral-search-range ask for "
                            + axialLags
                            + " x "
                            + lateralLags
                            + " lags in "
                            + grid.cells()
                            + " cells; at most 32767 lags and 2147483639 in all cells");
        }
        double windowTime = 2 * (2 * blockLength * spacing) / geometry.soundSpeed();
        independentSamples =
                (float) Math.max(1, bandwidth * windowTime * Math.max(1, columnLines / 2.0));
        likelihood = new float[(int) size];
        Check.range("samples of a padded line", frame.stride, 1, 1 << 26);
        energyUpTo = new double[lines * (frame.stride + 1)];
        scratch = new Scratch[workers.count()];
        Arrays.setAll(scratch, i -> new Scratch(blocks, lags, lateralLags));
    }

    /** Depth from block to block (m). */
    double blockDepth() {
        return blockLength * spacing;
    }

    /** Lines from column to column. */
    int columnLines() {
        return columnLines;
    }

    /** The lag of no displacement. */
    int zeroLag() {
        return maxLateral * axialLags + maxLag;
    }

    /** Fills {@link #likelihood}; the frames stay known until {@link #forget}. */
    void measure(BasebandFrame a, BasebandFrame b) {
        reference = a;
        moved = b;
        workers.run(lines, accumulate);
        workers.run(grid.columns(), correlate);
    }

    void forget() {
        reference = null;
        moved = null;
    }

    private void accumulateLine(int line, int worker) {
        int at = line * moved.stride;
        int to = line * (moved.stride + 1);
        double sum = 0;
        energyUpTo[to] = 0;
        for (int n = 0; n < moved.stride; n++) {
            float re = moved.re[at + n];
            float im = moved.im[at + n];
            sum += re * re + im * im;
            energyUpTo[to + n + 1] = sum;
        }
    }

    private int endOfBlock(int block) {
        return block == grid.rows() - 1 ? length : (block + 1) * blockLength;
    }

    private int endOfColumn(int column) {
        return column == grid.columns() - 1 ? lines : (column + 1) * columnLines;
    }

    private void correlateColumn(int column, int worker) {
        Scratch s = scratch[worker];
        Arrays.fill(s.re, 0f);
        Arrays.fill(s.im, 0f);
        Arrays.fill(s.movedEnergy, 0f);
        Arrays.fill(s.referenceEnergy, 0f);
        for (int line = column * columnLines; line < endOfColumn(column); line++) {
            for (int m = 0; m < lateralLags; m++) {
                int other = line + m - maxLateral;
                if (other >= 0 && other < lines) {
                    for (int block = 0; block < grid.rows(); block++) {
                        correlateBlock(s, line, other, m, block);
                    }
                }
            }
        }
        for (int block = 0; block < grid.rows(); block++) {
            writeLikelihood(s, column, block);
        }
    }

    private void correlateBlock(Scratch s, int line, int other, int m, int block) {
        float[] aRe = reference.re;
        float[] aIm = reference.im;
        float[] bRe = moved.re;
        float[] bIm = moved.im;
        float[] re = s.re;
        float[] im = s.im;
        int first = block * blockLength;
        int end = endOfBlock(block);
        int stride = reference.stride;
        int a = line * stride + BasebandFrame.MARGIN;
        int b = other * stride + BasebandFrame.MARGIN;
        int to = (block * lateralLags + m) * axialLags;
        float energy = 0;
        for (int n = first; n < end; n++) {
            float ar = aRe[a + n];
            float ai = aIm[a + n];
            energy += ar * ar + ai * ai;
            int from = b + n - maxLag;
            int k0 = Math.max(0, maxLag - n - BasebandFrame.MARGIN);
            int k1 = Math.min(axialLags, maxLag + length + BasebandFrame.MARGIN - n);
            for (int k = k0; k < k1; k++) {
                float br = bRe[from + k];
                float bi = bIm[from + k];
                re[to + k] += ar * br + ai * bi;
                im[to + k] += ar * bi - ai * br;
            }
        }
        s.referenceEnergy[block * lateralLags + m] += energy;
        int sums = other * (stride + 1) + BasebandFrame.MARGIN;
        for (int k = 0; k < axialLags; k++) {
            int from = clampToPadded(first + k - maxLag);
            int until = clampToPadded(end + k - maxLag);
            s.movedEnergy[to + k] += (float) (energyUpTo[sums + until] - energyUpTo[sums + from]);
        }
    }

    private int clampToPadded(int n) {
        return Math.max(-BasebandFrame.MARGIN, Math.min(length + BasebandFrame.MARGIN, n));
    }

    /** Two neighbouring blocks make a window. */
    private void writeLikelihood(Scratch s, int column, int block) {
        int next = Math.min(block + 1, grid.rows() - 1);
        int to = (column * grid.rows() + block) * lags;
        for (int m = 0; m < lateralLags; m++) {
            float e1 =
                    s.referenceEnergy[block * lateralLags + m]
                            + s.referenceEnergy[next * lateralLags + m];
            for (int k = 0; k < axialLags; k++) {
                int lag = m * axialLags + k;
                int here = block * lags + lag;
                int there = next * lags + lag;
                float re = s.re[here] + s.re[there];
                float im = s.im[here] + s.im[there];
                float energies = e1 * (s.movedEnergy[here] + s.movedEnergy[there]);
                float r2 = energies > 0 ? (re * re + im * im) / energies : 0f;
                likelihood[to + lag] =
                        (float)
                                (-independentSamples
                                        * Math.log(1 - Math.min(r2, GREATEST_COHERENCE)));
            }
        }
    }

    /**
     * From a whole lag to an axial displacement (m): the peak of the magnitude of the correlation
     * to within half a wavelength, and its phase within that.
     */
    float axialDisplacement(int column, int block, int lag, int worker) {
        Scratch s = scratch[worker];
        int m = lag / axialLags - maxLateral;
        int k = lag % axialLags - maxLag;
        for (int step = 0; step < 2; step++) {
            double here = magnitude(s, column, block, k, m);
            if (k > -maxLag && magnitude(s, column, block, k - 1, m) > here) {
                k--;
            } else if (k < maxLag && magnitude(s, column, block, k + 1, m) > here) {
                k++;
            }
        }
        double before = magnitude(s, column, block, k - 1, m);
        double after = magnitude(s, column, block, k + 1, m);
        double middle = magnitude(s, column, block, k, m);
        double byPeak = (k + SubsamplePeak.parabola(before, middle, after)) * spacing;
        if (middle == 0) {
            return (float) (k * spacing);
        }
        double phase = Math.atan2(s.sumIm, s.sumRe);
        return (float) SubsamplePeak.byPhase(byPeak, phase, halfWavelength);
    }

    /** From a whole lag to a lateral displacement (lines), by a parabola over the likelihoods. */
    float lateralDisplacement(int column, int block, int lag) {
        int m = lag / axialLags;
        double peak = 0;
        if (m > 0 && m < lateralLags - 1) {
            int at = (column * grid.rows() + block) * lags + lag;
            peak =
                    SubsamplePeak.parabola(
                            likelihood[at - axialLags], likelihood[at], likelihood[at + axialLags]);
        }
        return (float) (m - maxLateral + Math.max(-0.5, Math.min(0.5, peak)));
    }

    /** Magnitude of the correlation of a cell's window at one lag; leaves its parts behind. */
    private double magnitude(Scratch s, int column, int block, int lag, int lateral) {
        double re = 0;
        double im = 0;
        int first = block * blockLength;
        int end = endOfBlock(Math.min(block + 1, grid.rows() - 1));
        int from = Math.max(first, -lag - BasebandFrame.MARGIN);
        int to = Math.min(end, length + BasebandFrame.MARGIN - lag);
        for (int line = column * columnLines; line < endOfColumn(column); line++) {
            int other = line + lateral;
            if (other < 0 || other >= lines) {
                continue;
            }
            int a = line * reference.stride + BasebandFrame.MARGIN;
            int b = other * reference.stride + BasebandFrame.MARGIN + lag;
            for (int n = from; n < to; n++) {
                float ar = reference.re[a + n];
                float ai = reference.im[a + n];
                float br = moved.re[b + n];
                float bi = moved.im[b + n];
                re += ar * br + ai * bi;
                im += ar * bi - ai * br;
            }
        }
        s.sumRe = re;
        s.sumIm = im;
        return Math.hypot(re, im);
    }
}
