package org.elasto.tracking.shared;

import java.util.Arrays;
import org.elasto.api.Check;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;

/**
 * A first, robust idea of the axial displacement, good to a small part of the wavelength, from
 * which fine estimators start.
 *
 * <p>The frame is cut into blocks of depth and groups of lines. For every block and every lag of
 * baseband samples within the search range the complex correlation gives the likelihood of that
 * lag; the likelihoods of neighbouring groups are added. Dynamic programming along the depth picks
 * the sequence of lags with the greatest sum of likelihood, less a price for every change that no
 * longer rises beyond a jump, so that a slip of tissue costs no more than one jump. The phase of
 * the correlation then gives the displacement within half a wavelength around the peak of its
 * magnitude.
 *
 * <p>Dynamic programming over the depth is common in the literature since 2008; the log-likelihood
 * of a coherence r from N samples is -N ln(1 - r&sup2;).
 */
public final class CoarseSearch {

    /** Depth of a block (m): short enough for 5 % of strain to leave the echoes coherent. */
    private static final double BLOCK_DEPTH = 0.55e-3;

    /** Width of a group of lines (m), about that of a beam. */
    private static final double GROUP_WIDTH = 1.2e-3;

    /** Price of a change by one lag from block to block; strain needs one now and then. */
    private static final float PRICE_OF_ONE_LAG = 1.0f;

    /** Price that no change exceeds: what a jump costs. */
    private static final float PRICE_OF_JUMP = 6.0f;

    /** Share of the likelihood of a neighbouring group that is added. */
    private static final float NEIGHBOUR_SHARE = 0.5f;

    private final int lines;
    private final int length;
    private final int blockLength;
    private final int groupLines;
    private final int blocks;
    private final int groups;
    private final int lags;
    private final int maxLag;
    private final double spacing;
    private final double halfWavelength;
    private final float independentSamples;

    /** Complex correlation, energy of the moved window and log-likelihood: [group][block][lag]. */
    private final float[] correlationRe;

    private final float[] correlationIm;
    private final float[] likelihood;
    private final float[] referenceEnergy;
    private final float[] score;
    private final short[] previousLag;
    private final float[] displacement;
    private final float[] filtered;
    private final CellGrid grid;
    private final CellMedian outliers = new CellMedian();

    private final Workers workers;
    private final Workers.Task correlate = this::correlateGroup;
    private final Workers.Task choose = this::chooseLags;
    private final Workers.Task interpolate = this::interpolateLine;
    private BasebandFrame reference;
    private BasebandFrame moved;
    private float[] result;

    /**
     * Makes a search.
     *
     * @param geometry geometry of the frames
     * @param frame a baseband frame of the kind that will be searched
     * @param bandwidth band of the baseband (Hz)
     * @param maxDisplacement greatest displacement either way (m)
     * @param workers threads it may use
     */
    public CoarseSearch(
            ScanGeometry geometry,
            BasebandFrame frame,
            double bandwidth,
            double maxDisplacement,
            Workers workers) {
        this.workers = workers;
        lines = frame.lines;
        length = frame.length;
        spacing = frame.spacing;
        halfWavelength = geometry.wavelength() / 2;
        blockLength = Math.max(1, Math.min(length, (int) Math.round(BLOCK_DEPTH / spacing)));
        double pitch = geometry.lineSpacing(0.5 * geometry.lastDepth());
        groupLines = Math.max(1, Math.min(lines, (int) Math.round(GROUP_WIDTH / pitch)));
        blocks = Math.max(1, length / blockLength);
        groups = Math.max(1, lines / groupLines);
        maxLag =
                Math.min(
                        Check.range(
                                "search range in samples",
                                (int) Math.ceil(maxDisplacement / spacing) + 1,
                                1,
                                4096),
                        length);
        lags = 2 * maxLag + 1;
        double windowTime = 2 * (2 * blockLength * spacing) / geometry.soundSpeed();
        independentSamples =
                (float) Math.max(1, bandwidth * windowTime * Math.max(1, groupLines / 2.0));
        int cells = groups * blocks;
        correlationRe = new float[cells * lags];
        correlationIm = new float[cells * lags];
        likelihood = new float[cells * lags];
        referenceEnergy = new float[cells];
        score = new float[workers.count() * 2 * lags];
        previousLag = new short[cells * lags];
        displacement = new float[cells];
        filtered = new float[cells];
        // A window is this block and the next: its middle is where the next begins.
        grid =
                new CellGrid(
                        groups,
                        blocks,
                        (groupLines - 1) / 2.0,
                        groupLines,
                        blockLength,
                        blockLength);
    }

    /**
     * Searches and fills a plane with the result, interpolated to every baseband sample of every
     * line.
     *
     * @param a first frame
     * @param b second frame
     * @param plane receives displacement (m), {@code line * length + sample}
     */
    public void search(BasebandFrame a, BasebandFrame b, float[] plane) {
        reference = a;
        moved = b;
        workers.run(groups, correlate);
        workers.run(groups, choose);
        reference = null;
        moved = null;
        outliers.filter(displacement, groups, blocks, (float) (halfWavelength / 2), filtered);
        result = plane;
        workers.run(lines, interpolate);
        result = null;
    }

    private int firstLine(int group) {
        return group * groupLines;
    }

    private int endLine(int group) {
        return group == groups - 1 ? lines : (group + 1) * groupLines;
    }

    /** Complex correlation and likelihood of every lag for the blocks of a group. */
    private void correlateGroup(int group, int worker) {
        int cell = group * blocks;
        Arrays.fill(correlationRe, cell * lags, (cell + blocks) * lags, 0f);
        Arrays.fill(correlationIm, cell * lags, (cell + blocks) * lags, 0f);
        Arrays.fill(likelihood, cell * lags, (cell + blocks) * lags, 0f);
        Arrays.fill(referenceEnergy, cell, cell + blocks, 0f);
        for (int line = firstLine(group); line < endLine(group); line++) {
            int at = line * reference.stride + BasebandFrame.MARGIN;
            for (int block = 0; block < blocks; block++) {
                correlateBlock(at, block, cell + block);
            }
        }
        // Two neighbouring blocks make a window; the likelihood takes the place of the energies.
        for (int block = 0; block < blocks; block++) {
            int next = block + 1 < blocks ? block + 1 : block;
            float e1 = referenceEnergy[cell + block] + referenceEnergy[cell + next];
            int here = (cell + block) * lags;
            int there = (cell + next) * lags;
            for (int k = 0; k < lags; k++) {
                float re = correlationRe[here + k] + correlationRe[there + k];
                float im = correlationIm[here + k] + correlationIm[there + k];
                float e2 = likelihood[here + k] + likelihood[there + k];
                double energies = (double) e1 * e2;
                double r2 = energies > 0 ? ((double) re * re + (double) im * im) / energies : 0;
                correlationRe[here + k] = re;
                correlationIm[here + k] = im;
                likelihood[here + k] =
                        (float) (-independentSamples * Math.log(1 - Math.min(r2, 0.98)));
            }
        }
    }

    private void correlateBlock(int at, int block, int cell) {
        float[] aRe = reference.re;
        float[] aIm = reference.im;
        float[] bRe = moved.re;
        float[] bIm = moved.im;
        int first = block * blockLength;
        int end = block == blocks - 1 ? length : first + blockLength;
        double energy = 0;
        for (int n = first; n < end; n++) {
            energy += aRe[at + n] * aRe[at + n] + aIm[at + n] * aIm[at + n];
        }
        referenceEnergy[cell] += (float) energy;
        for (int k = 0; k < lags; k++) {
            int lag = k - maxLag;
            int from = Math.max(first, -lag);
            int to = Math.min(end, length - lag);
            float re = 0;
            float im = 0;
            float e2 = 0;
            for (int n = from; n < to; n++) {
                float ar = aRe[at + n];
                float ai = aIm[at + n];
                float br = bRe[at + n + lag];
                float bi = bIm[at + n + lag];
                re += ar * br + ai * bi;
                im += ar * bi - ai * br;
                e2 += br * br + bi * bi;
            }
            correlationRe[cell * lags + k] += re;
            correlationIm[cell * lags + k] += im;
            likelihood[cell * lags + k] += e2;
        }
    }

    private void chooseLags(int group, int worker) {
        int here = worker * 2 * lags;
        int before = here + lags;
        for (int block = 0; block < blocks; block++) {
            int cell = group * blocks + block;
            if (block == 0) {
                Arrays.fill(score, here, here + lags, 0f);
            } else {
                bestPredecessors(before, here, cell * lags);
            }
            addLikelihood(group, block, here);
            int swap = here;
            here = before;
            before = swap;
        }
        int lag = 0;
        for (int k = 1; k < lags; k++) {
            if (score[before + k] > score[before + lag]) {
                lag = k;
            }
        }
        for (int block = blocks - 1; block >= 0; block--) {
            int cell = group * blocks + block;
            displacement[cell] = refine(cell, lag);
            lag = previousLag[cell * lags + lag];
        }
    }

    private void addLikelihood(int group, int block, int to) {
        int at = (group * blocks + block) * lags;
        for (int k = 0; k < lags; k++) {
            score[to + k] += likelihood[at + k];
        }
        for (int side = -1; side <= 1; side += 2) {
            int neighbour = group + side;
            if (neighbour >= 0 && neighbour < groups) {
                int there = (neighbour * blocks + block) * lags;
                for (int k = 0; k < lags; k++) {
                    score[to + k] += NEIGHBOUR_SHARE * likelihood[there + k];
                }
            }
        }
    }

    /** Best score of each lag over all lags of the block before, in time linear in their number. */
    private void bestPredecessors(int from, int to, int links) {
        int best = 0;
        for (int k = 1; k < lags; k++) {
            if (score[from + k] > score[from + best]) {
                best = k;
            }
        }
        score[to] = score[from];
        previousLag[links] = 0;
        for (int k = 1; k < lags; k++) {
            float moved1 = score[to + k - 1] - PRICE_OF_ONE_LAG;
            boolean stays = score[from + k] >= moved1;
            score[to + k] = stays ? score[from + k] : moved1;
            previousLag[links + k] = stays ? (short) k : previousLag[links + k - 1];
        }
        for (int k = lags - 2; k >= 0; k--) {
            float moved1 = score[to + k + 1] - PRICE_OF_ONE_LAG;
            if (moved1 > score[to + k]) {
                score[to + k] = moved1;
                previousLag[links + k] = previousLag[links + k + 1];
            }
        }
        float jump = score[from + best] - PRICE_OF_JUMP;
        for (int k = 0; k < lags; k++) {
            if (jump > score[to + k]) {
                score[to + k] = jump;
                previousLag[links + k] = (short) best;
            }
        }
    }

    /** From a lag to a displacement by the peak of the magnitude and, within it, the phase. */
    private float refine(int cell, int chosen) {
        int at = cell * lags;
        int k = chosen;
        for (int step = 0; step < 2; step++) {
            if (k > 0 && magnitude(at + k - 1) > magnitude(at + k)) {
                k--;
            } else if (k < lags - 1 && magnitude(at + k + 1) > magnitude(at + k)) {
                k++;
            }
        }
        float re = correlationRe[at + k];
        float im = correlationIm[at + k];
        if (re == 0 && im == 0) {
            return (float) ((k - maxLag) * spacing);
        }
        double peak = 0;
        if (k > 0 && k < lags - 1) {
            peak =
                    SubsamplePeak.parabola(
                            magnitude(at + k - 1), magnitude(at + k), magnitude(at + k + 1));
        }
        double byPeak = (k - maxLag + peak) * spacing;
        return (float) SubsamplePeak.byPhase(byPeak, Math.atan2(im, re), halfWavelength);
    }

    private double magnitude(int at) {
        return Math.hypot(correlationRe[at], correlationIm[at]);
    }

    private void interpolateLine(int line, int worker) {
        grid.interpolate(line, filtered, null, Float.POSITIVE_INFINITY, 0, length, result, null);
    }
}
