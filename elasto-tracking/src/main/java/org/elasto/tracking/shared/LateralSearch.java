package org.elasto.tracking.shared;

import java.util.Arrays;
import org.elasto.api.Check;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;

/**
 * A first idea of the lateral displacement, good to a fraction of a line, from two frames whose
 * axial displacement has been undone as far as it is known.
 *
 * <p>In every cell of a few lines and a block of depth, the first frame is correlated with the
 * second one moved by whole lines; the log-likelihoods -N ln(1 - r&sup2;) of neighbouring cells are
 * added, and the lag with the greatest sum is refined by a parabola through its neighbours. Blocks
 * are short, so that what the axial displacement still lacks spoils none of them.
 *
 * <p>A call allocates nothing.
 */
public final class LateralSearch {

    private static final double BLOCK_DEPTH = 0.8e-3;
    private static final double GROUP_WIDTH = 1.2e-3;

    /** Cells to either side whose likelihood is added, along and across. */
    private static final int NEIGHBOURS = 1;

    private final int lines;
    private final int length;
    private final int blockLength;
    private final int groupLines;
    private final int blocks;
    private final int groups;
    private final int maxLag;
    private final int lags;

    /** Correlation and energies of one line of cells and all lags, for each worker. */
    private final double[][] sums;

    private final float[] likelihood;
    private final float[] displacement;
    private final CellGrid grid;
    private final Workers workers;
    private final Workers.Task correlate = this::correlateGroup;
    private final Workers.Task choose = this::chooseLags;
    private final Workers.Task interpolate = this::interpolateLine;
    private BasebandFrame reference;
    private float[] bRe;
    private float[] bIm;
    private float[] result;

    /**
     * Makes a search.
     *
     * @param geometry geometry of the frames
     * @param frame a baseband frame of the kind that will be searched
     * @param maxDisplacement greatest lateral displacement either way (m); rounded up to lines
     * @param workers threads it may use
     */
    public LateralSearch(
            ScanGeometry geometry, BasebandFrame frame, double maxDisplacement, Workers workers) {
        this.workers = workers;
        lines = frame.lines;
        length = frame.length;
        double pitch = geometry.lineSpacing(0.5 * (geometry.firstDepth() + geometry.lastDepth()));
        blockLength = Math.max(1, Math.min(length, (int) Math.round(BLOCK_DEPTH / frame.spacing)));
        groupLines = Math.max(1, Math.min(lines, (int) Math.round(GROUP_WIDTH / pitch)));
        blocks = Math.max(1, length / blockLength);
        groups = Math.max(1, lines / groupLines);
        int wanted =
                Check.range(
                        "lateral search range in lines",
                        (int) Math.ceil(maxDisplacement / pitch),
                        0,
                        1024);
        maxLag = Math.min(wanted, lines - 1);
        lags = 2 * maxLag + 1;
        sums = new double[workers.count()][4 * lags * blocks];
        likelihood = new float[groups * blocks * lags];
        displacement = new float[groups * blocks];
        grid =
                new CellGrid(
                        groups,
                        blocks,
                        (groupLines - 1) / 2.0,
                        groupLines,
                        0.5 * blockLength,
                        blockLength);
    }

    /**
     * Searches and fills a plane with the result, interpolated to every sample of every line.
     *
     * @param a first frame
     * @param movedRe second frame with its axial displacement undone, {@code line * length + n}
     * @param movedIm its imaginary part
     * @param plane receives the lateral displacement in lines, laid out as the second frame
     */
    public void search(BasebandFrame a, float[] movedRe, float[] movedIm, float[] plane) {
        reference = a;
        bRe = movedRe;
        bIm = movedIm;
        workers.run(groups, correlate);
        workers.run(groups, choose);
        reference = null;
        bRe = null;
        bIm = null;
        result = plane;
        workers.run(lines, interpolate);
        result = null;
    }

    private void interpolateLine(int line, int worker) {
        grid.interpolate(
                line, displacement, null, Float.POSITIVE_INFINITY, 0, length, result, null);
    }

    private void correlateGroup(int group, int worker) {
        double[] s = sums[worker];
        Arrays.fill(s, 0);
        int end = group == groups - 1 ? lines : (group + 1) * groupLines;
        for (int line = group * groupLines; line < end; line++) {
            for (int k = 0; k < lags; k++) {
                int other = line + k - maxLag;
                if (other >= 0 && other < lines) {
                    correlateLine(line, other, s, 4 * k * blocks);
                }
            }
        }
        // A narrow band leaves about one independent sample in each baseband sample and beam.
        double independent = Math.max(1, 0.5 * blockLength * Math.max(1, groupLines / 2.0));
        for (int block = 0; block < blocks; block++) {
            for (int k = 0; k < lags; k++) {
                int at = 4 * (k * blocks + block);
                double energies = s[at + 2] * s[at + 3];
                double r2 = energies > 0 ? (s[at] * s[at] + s[at + 1] * s[at + 1]) / energies : 0;
                likelihood[(group * blocks + block) * lags + k] =
                        (float) (-independent * Math.log(1 - Math.min(r2, 0.98)));
            }
        }
    }

    private void correlateLine(int line, int other, double[] s, int to) {
        int at = line * reference.stride + BasebandFrame.MARGIN;
        int there = other * length;
        float[] aRe = reference.re;
        float[] aIm = reference.im;
        for (int block = 0; block < blocks; block++) {
            int end = block == blocks - 1 ? length : (block + 1) * blockLength;
            float re = 0;
            float im = 0;
            float e1 = 0;
            float e2 = 0;
            for (int n = block * blockLength; n < end; n++) {
                float ar = aRe[at + n];
                float ai = aIm[at + n];
                float br = bRe[there + n];
                float bi = bIm[there + n];
                re += ar * br + ai * bi;
                im += ar * bi - ai * br;
                e1 += ar * ar + ai * ai;
                e2 += br * br + bi * bi;
            }
            s[to + 4 * block] += re;
            s[to + 4 * block + 1] += im;
            s[to + 4 * block + 2] += e1;
            s[to + 4 * block + 3] += e2;
        }
    }

    private void chooseLags(int group, int worker) {
        for (int block = 0; block < blocks; block++) {
            int best = maxLag;
            for (int k = 0; k < lags; k++) {
                if (around(group, block, k) > around(group, block, best)) {
                    best = k;
                }
            }
            double offset = 0;
            if (best > 0 && best < lags - 1) {
                offset =
                        SubsamplePeak.parabola(
                                around(group, block, best - 1),
                                around(group, block, best),
                                around(group, block, best + 1));
            }
            displacement[group * blocks + block] = (float) (best - maxLag + offset);
        }
    }

    /** Likelihood of a lag in a cell and its neighbours. */
    private float around(int group, int block, int lag) {
        float sum = 0;
        for (int g = Math.max(0, group - NEIGHBOURS);
                g <= Math.min(groups - 1, group + NEIGHBOURS);
                g++) {
            for (int b = Math.max(0, block - NEIGHBOURS);
                    b <= Math.min(blocks - 1, block + NEIGHBOURS);
                    b++) {
                sum += likelihood[(g * blocks + b) * lags + lag];
            }
        }
        return sum;
    }
}
