package org.elasto.tracking.lattice;

import java.util.Arrays;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.SubsamplePeak;
import org.elasto.tracking.shared.VectorLoops;

/**
 * The first, robust idea of the displacement: on a sparse lattice of cells, one for every few lines
 * and four blocks of depth, from the narrow middle of the echo's band at one sample a block, so
 * that few lags span the search range.
 *
 * <p>The complex correlation of every cell and lag gives its log-likelihood -N ln(1 - r&sup2;);
 * half of what the neighbouring columns say is added, and dynamic programming along the depth picks
 * the lags with the greatest sum less a price for every change that never exceeds that of a jump.
 * The peak of the magnitude and, within half a wavelength of it, the phase then give a start
 * between the lags.
 *
 * <p>One caller at a time; a call allocates nothing.
 */
final class LatticeSearch {

    /** Blocks of a cell. */
    static final int CELL = 4;

    /** Columns whose paths are sought together. */
    private static final int TOGETHER = 8;

    /** Weight of a column beside. */
    private static final float NEIGHBOUR_SHARE = 0.5f;

    /** Independent samples in a cell: four blocks of about 0.8, in two lines of one beam. */
    private static final float INDEPENDENT_SAMPLES = 4.8f;

    /** How far speckle moves the lateral peak, in lags. */
    private static final double NOISE_OF_LATERAL_PEAK = 0.33;

    private static final float PRICE_OF_AXIAL_LAG = 3;
    private static final float PRICE_OF_LATERAL_LAG = 4;
    private static final float PRICE_OF_JUMP = 12;

    /** Samples around the narrow band's displacement at which the whole band is correlated. */
    private static final int SHARP_LAGS = 9;

    /** What parts the lags of one lateral lag from those of the next. */
    private static final float IMPOSSIBLE = -1e9f;

    final int rows;
    final int columns;

    /** Displacement of each cell: baseband samples, and lines; {@code column * rows + row}. */
    final float[] axial;

    final float[] lateral;

    private final LatticeFrame.Shape shape;
    private final int maxLag;
    private final int maxLateral;
    private final int axialLags;
    private final int lateralLags;

    /** Lags and the gap behind each lateral lag. */
    private final int places;

    private final int wide;
    private final float samplesPerHalfWave;

    /** Log-likelihoods, for each set of columns: [row][lag * wide + column], a column's margin. */
    private final float[][][] gain;

    /** Best sums up to each row, likewise. */
    private final float[][][] score;

    /** The greatest of them, [row][column]. */
    private final float[][][] greatest;

    private final Scratch[] scratch;
    private final Path[] paths;
    private final Workers workers;
    private final Workers.Task correlate = this::correlateGroup;
    private final Workers.Task sharpen = this::sharpenGroup;
    private final Workers.Task choose = this::chooseLags;
    private LatticeFrame reference;
    private LatticeFrame moved;

    /** Workspace of a worker for correlations. */
    private final class Scratch {
        final float[][] a = new float[4][];
        final float[][] b = new float[4][];
        final float[] re;
        final float[] im;
        final float[] sumRe;
        final float[] sumIm;

        /** The second frame's energy over as many blocks as a cell has, from each block on. */
        final float[] fromEach;

        /** Of the cells of a group: energies of both frames, likelihood. */
        final float[] energy;

        final float[] movedEnergy;
        final float[] result;
        final float[][] fullA;
        final float[][] fullB;
        final float[][] fullPower;
        final float[][] lagRe;
        final float[][] lagIm;
        final float[][] lagEnergy;

        /** Of the cells of a group, at each lag: correlation, and its square over the energy. */
        final float[][] cellRe;

        final float[][] cellIm;
        final float[][] values;

        /** The correlation of each row of a column, and workspace for its phase. */
        final float[] peakRe = new float[rows];

        final float[] peakIm = new float[rows];
        final float[] turns = new float[rows];
        final float[] half = new float[rows];

        Scratch(int n) {
            for (int i = 0; i < 4; i++) {
                a[i] = new float[n];
                b[i] = new float[n];
            }
            re = new float[n];
            im = new float[n];
            fromEach = new float[n + 2 * maxLag];
            sumRe = new float[n / CELL];
            sumIm = new float[n / CELL];
            energy = new float[n / CELL];
            movedEnergy = new float[n / CELL];
            result = new float[n / CELL];
            int block = shape.block;
            fullA = new float[2 * block][n];
            fullB = new float[2 * (block + SHARP_LAGS - 1)][n];
            fullPower = new float[block + SHARP_LAGS - 1][n];
            lagRe = new float[SHARP_LAGS][n];
            lagIm = new float[SHARP_LAGS][n];
            lagEnergy = new float[SHARP_LAGS][n];
            cellRe = new float[SHARP_LAGS][n / CELL];
            cellIm = new float[SHARP_LAGS][n / CELL];
            values = new float[SHARP_LAGS][n / CELL];
        }
    }

    /** Workspace of a worker for paths. */
    private static final class Path {
        final float[] here;
        final float[] shifted;
        final float[] other;
        final float[] best;

        Path(int n) {
            here = new float[n];
            shifted = new float[n];
            other = new float[n];
            best = new float[n];
        }
    }

    LatticeSearch(
            ScanGeometry geometry,
            LatticeFrame frame,
            double maxDisplacement,
            double maxLateralDisplacement,
            double pitch,
            Workers workers) {
        this.workers = workers;
        shape = frame.shape;
        // One or two blocks at the end have too little of a cell to be searched for themselves.
        rows = Math.max(1, (shape.blocks + 1) / CELL);
        columns = shape.columns;
        maxLag = (int) Math.ceil(maxDisplacement / (shape.block * frame.spacing));
        // A beam is wider than two lines: half a lag beyond the last is still seen.
        int lines = (int) Math.ceil(maxLateralDisplacement / pitch - 1e-9);
        maxLateral = Math.min(lines / 2, Math.max(0, (frame.lines - 1) / 2));
        axialLags = 2 * maxLag + 1;
        lateralLags = 2 * maxLateral + 1;
        places = lateralLags * (axialLags + 1);
        wide = TOGETHER + 2;
        samplesPerHalfWave = (float) (geometry.wavelength() / 2 / frame.spacing);
        int sets = (columns + TOGETHER - 1) / TOGETHER;
        gain = new float[sets][rows][places * wide];
        score = new float[sets][rows][places * wide];
        greatest = new float[sets][rows][wide];
        for (float[][] set : gain) {
            for (float[] row : set) {
                for (int m = 1; m <= lateralLags; m++) {
                    int gap = m * (axialLags + 1) - 1;
                    Arrays.fill(row, gap * wide, (gap + 1) * wide, IMPOSSIBLE);
                }
            }
        }
        axial = new float[columns * rows];
        lateral = new float[columns * rows];
        scratch = new Scratch[workers.count()];
        Arrays.setAll(scratch, i -> new Scratch(LatticeFrame.GROUP * shape.stride));
        paths = new Path[workers.count()];
        Arrays.setAll(paths, i -> new Path(places * wide));
    }

    void search(LatticeFrame a, LatticeFrame b) {
        reference = a;
        moved = b;
        workers.run(columns / LatticeFrame.GROUP, correlate);
        workers.run(gain.length, choose);
        workers.run(columns / LatticeFrame.GROUP, sharpen);
        reference = null;
        moved = null;
    }

    private int place(int axialLag, int lateralLag) {
        return (lateralLag + maxLateral) * (axialLags + 1) + axialLag + maxLag;
    }

    private void correlateGroup(int group, int worker) {
        Scratch s = scratch[worker];
        int n = LatticeFrame.GROUP * shape.stride;
        int at = shape.latticeFirst + group * n;
        for (int i = 0; i < 2; i++) {
            System.arraycopy(reference.latticeRe[shape.plane(i)], at, s.a[2 * i], 0, n);
            System.arraycopy(reference.latticeIm[shape.plane(i)], at, s.a[2 * i + 1], 0, n);
        }
        VectorLoops.power(s.re, s.a[0], s.a[1], n);
        VectorLoops.addPower(s.re, s.a[2], s.a[3], n);
        sumCells(s.re, s.energy);
        for (int m = -maxLateral; m <= maxLateral; m++) {
            fetch(m, 0, at, s, n);
            VectorLoops.power(s.re, s.b[0], s.b[1], n);
            VectorLoops.addPower(s.re, s.b[2], s.b[3], n);
            sumFromEach(s.re, s, n);
            for (int lag = -maxLag; lag <= maxLag; lag++) {
                fetch(m, lag, at, s, n);
                likelihood(lag, s, n);
                deal(group, place(lag, m), s.result);
            }
        }
    }

    /** The second frame's lattice, shifted by a lag of every two lines and one of blocks. */
    private void fetch(int m, int lag, int at, Scratch s, int n) {
        for (int i = 0; i < 2; i++) {
            int plane = shape.plane(i) + m;
            int from = Math.floorMod(plane, shape.planes);
            int shift = Math.floorDiv(plane, shape.planes) * shape.stride + lag;
            System.arraycopy(moved.latticeRe[from], at + shift, s.b[2 * i], 0, n);
            System.arraycopy(moved.latticeIm[from], at + shift, s.b[2 * i + 1], 0, n);
        }
    }

    private void likelihood(int lag, Scratch s, int n) {
        VectorLoops.conjugate(s.re, s.im, s.a[0], s.a[1], s.b[0], s.b[1], n);
        VectorLoops.addConjugate(s.re, s.im, s.a[2], s.a[3], s.b[2], s.b[3], n);
        sumCells(s.re, s.sumRe);
        sumCells(s.im, s.sumIm);
        float[] from = s.fromEach;
        float[] moved = s.movedEnergy;
        int first = maxLag + lag;
        int cells = moved.length;
        for (int c = 0; c < cells; c++) {
            moved[c] = from[first + CELL * c];
        }
        VectorLoops.coherence(s.sumRe, s.sumRe, s.sumIm, s.energy, moved, cells);
        VectorLoops.logLikelihood(s.result, s.sumRe, cells);
    }

    /** Sums over the blocks of each cell. */
    private static void sumCells(float[] x, float[] out) {
        for (int c = 0; c < out.length; c++) {
            int k = CELL * c;
            out[c] = x[k] + x[k + 1] + x[k + 2] + x[k + 3];
        }
    }

    /** Sums over as many blocks as a cell has, beginning with each. */
    private void sumFromEach(float[] x, Scratch s, int n) {
        for (int k = 0; k + CELL <= n; k++) {
            s.fromEach[maxLag + k] = x[k] + x[k + 1] + x[k + 2] + x[k + 3];
        }
    }

    /** Hands the likelihood of every cell to the sets of columns that want it. */
    private void deal(int group, int place, float[] likelihood) {
        int cells = shape.stride / CELL;
        for (int i = 0; i < LatticeFrame.GROUP; i++) {
            int column = group * LatticeFrame.GROUP + i;
            int set = column / TOGETHER;
            int within = column % TOGETHER + 1;
            deal(gain[set], place * wide + within, likelihood, i * cells);
            if (within == 1 && set > 0) {
                deal(gain[set - 1], place * wide + TOGETHER + 1, likelihood, i * cells);
            }
            if (within == TOGETHER && set + 1 < gain.length) {
                deal(gain[set + 1], place * wide, likelihood, i * cells);
            }
        }
    }

    private void deal(float[][] to, int at, float[] likelihood, int from) {
        for (int row = 0; row < rows; row++) {
            to[row][at] = INDEPENDENT_SAMPLES * likelihood[from + row];
        }
    }

    /** The best paths of a set of columns, all columns in one loop. */
    private void chooseLags(int set, int worker) {
        Path p = paths[worker];
        int n = places * wide;
        float[][] sums = score[set];
        for (int row = 0; row < rows; row++) {
            gain(gain[set][row], p, n);
            if (row > 0) {
                float[] before = sums[row - 1];
                best(before, p);
                System.arraycopy(p.best, 0, greatest[set][row - 1], 0, wide);
                System.arraycopy(before, 0, p.other, 0, n);
                relax(before, p, wide, PRICE_OF_AXIAL_LAG);
                if (maxLateral > 0) {
                    relax(before, p, (axialLags + 1) * wide, PRICE_OF_LATERAL_LAG);
                }
                VectorLoops.relax(p.other, p.best, PRICE_OF_JUMP, n);
                VectorLoops.accumulate(p.here, p.other, n);
            }
            System.arraycopy(p.here, 0, sums[row], 0, n);
        }
        int first = set * TOGETHER;
        for (int column = first; column < Math.min(columns, first + TOGETHER); column++) {
            follow(set, column);
        }
    }

    /** Likelihoods of a row with what the columns beside say. */
    private void gain(float[] row, Path p, int n) {
        System.arraycopy(row, 0, p.here, 0, n);
        System.arraycopy(row, 1, p.shifted, 0, n - 1);
        System.arraycopy(row, 0, p.other, 1, n - 1);
        VectorLoops.addScaledSum(p.here, p.shifted, p.other, NEIGHBOUR_SHARE, n);
    }

    /** Greatest sum of each column over all lags, in every lag's place. */
    private void best(float[] from, Path p) {
        int left = places;
        System.arraycopy(from, 0, p.best, 0, places * wide);
        while (left > 1) {
            int half = left / 2;
            System.arraycopy(p.best, (left - half) * wide, p.shifted, 0, half * wide);
            VectorLoops.max(p.best, p.best, p.shifted, half * wide);
            left -= half;
        }
        for (int done = 1; done < places; done *= 2) {
            int more = Math.min(done, places - done);
            System.arraycopy(p.best, 0, p.best, done * wide, more * wide);
        }
    }

    private void relax(float[] before, Path p, int step, float price) {
        int n = places * wide;
        System.arraycopy(before, step, p.shifted, 0, n - step);
        Arrays.fill(p.shifted, n - step, n, IMPOSSIBLE);
        VectorLoops.relax(p.other, p.shifted, price, n);
        System.arraycopy(before, 0, p.shifted, step, n - step);
        Arrays.fill(p.shifted, 0, step, IMPOSSIBLE);
        VectorLoops.relax(p.other, p.shifted, price, n);
    }

    /** Goes back along the best path of a column. */
    private void follow(int set, int column) {
        float[][] sums = score[set];
        int within = column % TOGETHER + 1;
        int place = greatest(sums[rows - 1], within);
        for (int row = rows - 1; row >= 0; row--) {
            refine(set, column, row, place);
            if (row > 0) {
                float jump = greatest[set][row - 1][within] - PRICE_OF_JUMP;
                place = predecessor(sums[row - 1], within, place, jump);
            }
        }
    }

    private int greatest(float[] sums, int within) {
        int best = place(0, 0);
        for (int place = 0; place < places; place++) {
            if (sums[place * wide + within] > sums[best * wide + within]) {
                best = place;
            }
        }
        return best;
    }

    private int predecessor(float[] sums, int within, int place, float jump) {
        int best = place;
        float value = sums[place * wide + within];
        for (int side = -1; side <= 1; side += 2) {
            int near = place + side;
            if (near >= 0 && near < places) {
                float other = sums[near * wide + within] - PRICE_OF_AXIAL_LAG;
                best = other > value ? near : best;
                value = Math.max(value, other);
            }
            int beside = place + side * (axialLags + 1);
            if (beside >= 0 && beside < places) {
                float other = sums[beside * wide + within] - PRICE_OF_LATERAL_LAG;
                best = other > value ? beside : best;
                value = Math.max(value, other);
            }
        }
        return jump > value ? greatest(sums, within) : best;
    }

    /** Between the lags: the peak of the likelihood. */
    private void refine(int set, int column, int row, int place) {
        int lag = place % (axialLags + 1) - maxLag;
        int m = place / (axialLags + 1) - maxLateral;
        float[] values = gain[set][row];
        int at = place * wide + column % TOGETHER + 1;
        int cell = column * rows + row;
        float peak = lag;
        if (Math.abs(lag) < maxLag) {
            peak +=
                    (float)
                            SubsamplePeak.parabola(
                                    values[at - wide], values[at], values[at + wide]);
        }
        axial[cell] = peak * shape.block;
        lateral[cell] = 2f * m;
        if (Math.abs(m) < maxLateral) {
            int step = (axialLags + 1) * wide;
            double side = SubsamplePeak.parabola(values[at - step], values[at], values[at + step]);
            lateral[cell] += (float) (2 * beyondNoise(side));
        }
    }

    /** A place between two lags, taken as the lag itself as far as speckle alone may move it. */
    private static double beyondNoise(double place) {
        double beyond = Math.max(0, Math.abs(place) - NOISE_OF_LATERAL_PEAK);
        return Math.signum(place) * beyond * 0.5 / (0.5 - NOISE_OF_LATERAL_PEAK);
    }

    // ---------------------------------------------------------------- the whole band

    /**
     * The whole band of the echo, at nine samples around what the narrow one has found: the peak of
     * the magnitude is known to a small part of the wavelength now, and the phase tells the rest.
     */
    private void sharpenGroup(int group, int worker) {
        Scratch s = scratch[worker];
        int n = LatticeFrame.GROUP * shape.stride;
        int block = shape.block;
        int q = block + SHARP_LAGS - 1;
        for (int which = 0; which < 2; which++) {
            for (int i = 0; i < LatticeFrame.GROUP; i++) {
                fetchFull(group * LatticeFrame.GROUP + i, which, i, s);
            }
            for (int i = 0; i < q; i++) {
                VectorLoops.power(s.fullPower[i], s.fullB[i], s.fullB[q + i], n);
            }
            for (int j = 0; j < SHARP_LAGS; j++) {
                for (int p = 0; p < block; p++) {
                    float[] ar = s.fullA[p];
                    float[] ai = s.fullA[block + p];
                    float[] br = s.fullB[j + p];
                    float[] bi = s.fullB[q + j + p];
                    if (which == 0 && p == 0) {
                        VectorLoops.conjugate(s.lagRe[j], s.lagIm[j], ar, ai, br, bi, n);
                        System.arraycopy(s.fullPower[j], 0, s.lagEnergy[j], 0, n);
                    } else {
                        VectorLoops.addConjugate(s.lagRe[j], s.lagIm[j], ar, ai, br, bi, n);
                        VectorLoops.accumulate(s.lagEnergy[j], s.fullPower[j + p], n);
                    }
                }
            }
        }
        for (int j = 0; j < SHARP_LAGS; j++) {
            sumCells(s.lagRe[j], s.cellRe[j]);
            sumCells(s.lagIm[j], s.cellIm[j]);
            sumCells(s.lagEnergy[j], s.movedEnergy);
            VectorLoops.powerOver(
                    s.values[j], s.cellRe[j], s.cellIm[j], s.movedEnergy, s.movedEnergy.length);
        }
        for (int i = 0; i < LatticeFrame.GROUP; i++) {
            int first = (group * LatticeFrame.GROUP + i) * rows;
            int at = i * shape.stride / CELL;
            for (int row = 0; row < rows; row++) {
                sharpen(first + row, at + row, row, s);
            }
            VectorLoops.angle(s.turns, s.peakRe, s.peakIm, s.half, rows);
            for (int row = 0; row < rows; row++) {
                // The lag has turned the phase with it; what is left belongs to all of it.
                double phase = 2 * Math.PI * s.turns[row];
                axial[first + row] =
                        (float)
                                SubsamplePeak.byPhase(
                                        axial[first + row], phase, samplesPerHalfWave);
            }
        }
    }

    /** A line of the lattice in both frames, the second at the displacement of each cell. */
    private void fetchFull(int column, int which, int to, Scratch s) {
        int block = shape.block;
        int q = block + SHARP_LAGS - 1;
        int line = column * shape.columnLines + 2 * shape.plane(which);
        int at = shape.first + shape.startOfLine(line);
        int plane = shape.planeOfLine(line);
        int begin = to * shape.stride;
        for (int p = 0; p < block; p++) {
            float[] re = reference.phaseRe[plane + p];
            float[] im = reference.phaseIm[plane + p];
            System.arraycopy(re, at, s.fullA[p], begin, shape.stride);
            System.arraycopy(im, at, s.fullA[block + p], begin, shape.stride);
        }
        // Cells that have moved alike are fetched together.
        int row = 0;
        while (row < rows) {
            int cell = column * rows + row;
            int first = Math.round(axial[cell]) - SHARP_LAGS / 2;
            int sideways = Math.round(lateral[cell]);
            int end = row + 1;
            while (end < rows
                    && Math.round(axial[column * rows + end]) - SHARP_LAGS / 2 == first
                    && Math.round(lateral[column * rows + end]) == sideways) {
                end++;
            }
            int into = to * shape.stride + row * CELL;
            int n = Math.min(end * CELL, shape.blocks) - row * CELL;
            int from = shape.first + shape.startOfLine(line + sideways) + row * CELL;
            int base = shape.planeOfLine(line + sideways);
            for (int i = 0; i < q; i++) {
                int p = base + Math.floorMod(first + i, block);
                int shift = Math.floorDiv(first + i, block);
                System.arraycopy(moved.phaseRe[p], from + shift, s.fullB[i], into, n);
                System.arraycopy(moved.phaseIm[p], from + shift, s.fullB[q + i], into, n);
            }
            row = end;
        }
    }

    private void sharpen(int cell, int at, int row, Scratch s) {
        int best = 0;
        for (int j = 1; j < SHARP_LAGS; j++) {
            best = s.values[j][at] > s.values[best][at] ? j : best;
        }
        s.peakRe[row] = s.cellRe[best][at];
        s.peakIm[row] = s.cellIm[best][at];
        double peak = best;
        if (best > 0 && best < SHARP_LAGS - 1) {
            peak +=
                    SubsamplePeak.parabola(
                            Math.sqrt(s.values[best - 1][at]),
                            Math.sqrt(s.values[best][at]),
                            Math.sqrt(s.values[best + 1][at]));
        }
        axial[cell] = (float) (Math.round(axial[cell]) - SHARP_LAGS / 2 + peak);
    }
}
