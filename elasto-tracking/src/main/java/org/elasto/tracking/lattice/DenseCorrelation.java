package org.elasto.tracking.lattice;

import java.util.Arrays;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.VectorLoops;

/**
 * The complex correlation of two frames at every block, between the samples, for whatever
 * displacement is at hand, and what its phase adds to that displacement.
 *
 * <p>The product of the first frame with the second is summed over each block at eight whole-sample
 * lags around the displacement. To read the second frame between its samples is to mix these sums
 * with the weights of the interpolator, so that this needs to be done for blocks only, and only the
 * polynomials of the mixture are kept: a new displacement then costs a few operations a block.
 *
 * <p>What a lateral displacement lacks is found from the slope h of the first frame a across its
 * lines, as the least-squares step {@code Re(sum of conj(h) (a - b)) / sum of |h|^2}.
 *
 * <p>Tasks are tiles of lines. A call allocates nothing.
 */
final class DenseCorrelation {

    /** Lags of the correlation, and the first of them against the whole displacement. */
    private static final int LAGS = 8;

    private static final int FIRST = -3;
    private static final int DEGREE = 5;

    /** Just beyond where the band of a baseband converter ends. */
    private static final double EDGE = 0.33;

    private static final float[][] TAPS = BlockInterpolator.coefficients(LAGS, DEGREE, EDGE, 0.75);

    /** Lags of the slope's correlation, and of all in a rough step: the middle ones. */
    private static final int ROUGH_LAGS = 4;

    private static final int ROUGH_DEGREE = 3;
    private static final float[][] ROUGH_TAPS =
            BlockInterpolator.coefficients(ROUGH_LAGS, ROUGH_DEGREE, 0.28, 0.6);

    private static final int LINES = 6;
    private static final float[][] LINE_TAPS = BlockInterpolator.coefficients(LINES, 5, 0.30, 0.5);

    /** Lines that are mixed in a rough step. */
    private static final float[][] ROUGH_LINE_TAPS =
            BlockInterpolator.coefficients(4, ROUGH_DEGREE, 0.28, 0.5);

    private static final int TILE = LatticeFrame.TILE;

    /** Where the axial displacement begins in every step, as {@link #axial}. */
    final float[][] start;

    /** Displacement of each block: baseband samples, lines; by tile. */
    final float[][] axial;

    final float[][] lateral;

    /**
     * Product after {@link #product}, smoothed along the lines, laid out as the frames' planes: one
     * pair of planes is written while the other is read.
     */
    private final float[][] productRe;

    private final float[][] productIm;

    /** Which of the two is read. */
    private int turn;

    /** Both frames' energies, smoothed along the lines. */
    final float[] referenceEnergy;

    final float[] movedEnergy;

    /** The smoothed product at the tile at hand, for each worker, after {@link #update}. */
    final float[][] sumRe;

    final float[][] sumIm;

    /** Shape of the frames and of all that is kept here. */
    final LatticeFrame.Shape shape;

    private final int n;
    private final int block;
    private final int width;

    /** Samples of a line that a block meets at all lags. */
    private final int span;

    private final boolean sideways;
    private final float turnsPerSample;
    private final float farthest;
    private final float farthestLateral;
    private final Smoother along;
    private final Smoother across;
    private final Smoother lateralAlong;
    private final Smoother lateralAcross;

    /** Middle between the two samples around the displacement at which a tile was correlated. */
    private final float[][] middle;

    /** Polynomials of the product, by tile: real and imaginary part of each coefficient. */
    private final float[][][] product;

    /** Polynomials of the slope's product. */
    private final float[][][] slopeProduct;

    /** Polynomial of the second frame's energy. */
    private final float[][][] energy;

    /** Real part of slope times first frame, by tile. */
    private final float[][] slopeSelf;

    /** Energy of the slope, smoothed, by tile. */
    private final float[][] slopePower;

    private final float[] lateralRight;
    private final float[] lateralLeft;

    /** Lateral displacement at which the lines of the second frame were mixed. */
    private final float[][] appliedLateral;

    private final Scratch[] scratch;
    private LatticeFrame reference;
    private LatticeFrame moved;

    /** Workspace of a worker. */
    private final class Scratch {
        final float[][] aRe = new float[width * block][n];
        final float[][] aIm = new float[width * block][n];
        final float[][] hRe = new float[sideways ? width * block : 0][n];
        final float[][] hIm = new float[sideways ? width * block : 0][n];

        /** The second frame from the first lag on, one line of the block after the other. */
        final float[][] bRe = new float[width * span][n];

        final float[][] bIm = new float[width * span][n];
        final float[][] power = new float[block + 3][n];
        final float[][] lagRe = new float[LAGS][n];
        final float[][] lagIm = new float[LAGS][n];

        /** The second frame between its lines, with room before and behind. */
        final float[][] betweenRe = new float[sideways ? width * block : 0][n + 2 * shape.stride];

        final float[][] betweenIm = new float[sideways ? width * block : 0][n + 2 * shape.stride];
        final float[][] row = new float[LINES][n];
        final float[][] weights = new float[LINES][n];
        final float[] middleLine = new float[n];

        /** Stretches of the same whole number of lines: where each begins, and that number. */
        final int[] stretchFrom = new int[n + 1];

        final int[] stretchLines = new int[n];
        int stretches;
        final float[] place = new float[n];
        final float[] re = new float[n];
        final float[] im = new float[n];
        final float[] turns = new float[n];
        final float[] sine = new float[n];
        final float[] cosine = new float[n];
        final float[] half = new float[n];
        final float[] other = new float[n];
        final float[] buffer = new float[n + 2 * shape.stride];
        final float[] x = new float[n];
        final float[] y = new float[n];
        final float[] z = new float[n];
        final float[] w = new float[n];
    }

    /** A symmetric window applied to whole tiles by shifted copies. */
    static final class Smoother {
        private final GaussianWindow window;

        Smoother(GaussianWindow window) {
            this.window = window;
        }

        /** Sums around each element of a tile, elements a step apart; x to w are workspace. */
        void smooth(
                float[] in,
                int at,
                int step,
                float[] out,
                int n,
                float[] x,
                float[] y,
                float[] z,
                float[] w) {
            System.arraycopy(in, at, x, 0, n);
            VectorLoops.scale(out, x, window.tap(0), n);
            int half = window.halfWidth();
            int j = 1;
            for (; j + 1 <= half; j += 2) {
                System.arraycopy(in, at - j * step, x, 0, n);
                System.arraycopy(in, at + j * step, y, 0, n);
                System.arraycopy(in, at - (j + 1) * step, z, 0, n);
                System.arraycopy(in, at + (j + 1) * step, w, 0, n);
                VectorLoops.addScaledSums(out, x, y, z, w, window.tap(j), window.tap(j + 1), n);
            }
            if (j <= half) {
                System.arraycopy(in, at - j * step, x, 0, n);
                System.arraycopy(in, at + j * step, y, 0, n);
                VectorLoops.addScaledSum(out, x, y, window.tap(j), n);
            }
        }
    }

    DenseCorrelation(
            ScanGeometry geometry,
            LatticeFrame frame,
            GaussianWindow along,
            GaussianWindow across,
            boolean sideways,
            Workers workers) {
        this.along = new Smoother(along);
        this.across = new Smoother(across);
        lateralAlong =
                new Smoother(
                        new GaussianWindow(
                                1.5 * along.deviation(), frame.shape.stride - frame.shape.blocks));
        shape = frame.shape;
        lateralAcross = new Smoother(lateralWindow(across, shape.strips));
        this.sideways = sideways;
        block = shape.block;
        width = shape.width;
        span = block + LAGS - 1;
        n = TILE * shape.stride;
        turnsPerSample = (float) (2 * frame.spacing / geometry.wavelength());
        // What lies between the lines is as deep as the search range and a lag beyond it.
        farthest = (shape.stride - shape.blocks - 1) * block - LAGS;
        farthestLateral = shape.first / shape.stride * width - LINES / 2 - 1;
        int tiles = shape.tiles;
        start = new float[tiles][n];
        axial = new float[tiles][n];
        lateral = new float[tiles][n];
        middle = new float[tiles][n];
        product = new float[tiles][2 * (DEGREE + 1)][n];
        slopeProduct = new float[sideways ? tiles : 0][2 * (ROUGH_DEGREE + 1)][n];
        energy = new float[tiles][4][n];
        slopeSelf = new float[sideways ? tiles : 0][n];
        slopePower = new float[sideways ? tiles : 0][n];
        productRe = new float[2][shape.size];
        productIm = new float[2][shape.size];
        referenceEnergy = new float[shape.size];
        movedEnergy = new float[shape.size];
        lateralRight = new float[sideways ? shape.size : 0];
        lateralLeft = new float[sideways ? shape.size : 0];
        appliedLateral = new float[sideways ? tiles : 0][n];
        sumRe = new float[workers.count()][n];
        sumIm = new float[workers.count()][n];
        scratch = new Scratch[workers.count()];
        Arrays.setAll(scratch, i -> new Scratch());
    }

    /** Across the lines, lateral displacement is averaged over a half more. */
    static GaussianWindow lateralWindow(GaussianWindow across, int lines) {
        return new GaussianWindow(1.5 * across.deviation(), lines - 1);
    }

    void frames(LatticeFrame a, LatticeFrame b) {
        reference = a;
        moved = b;
    }

    /** What has been written is read from now on; between two runs. */
    void turn() {
        turn = 1 - turn;
    }

    private int begin(int tile) {
        return shape.first + tile * n;
    }

    /**
     * A sample of a tile's blocks.
     *
     * @param line line of the block, or beyond it: one of its neighbours
     */
    private void gather(float[][] planes, int tile, int line, int sample, float[] to) {
        float[] plane = planes[shape.planeOfLine(line) + sample];
        System.arraycopy(plane, begin(tile) + shape.startOfLine(line), to, 0, n);
    }

    /**
     * Correlates a tile around where the axial displacement begins, and keeps the polynomials.
     *
     * @param rough whether a few lags and lines are enough: for a lateral displacement on the way
     * @param first whether this is the first time for these frames
     */
    void correlate(int tile, int worker, boolean rough, boolean first) {
        Scratch s = scratch[worker];
        System.arraycopy(start[tile], 0, axial[tile], 0, n);
        VectorLoops.middle(middle[tile], axial[tile], farthest, n);
        for (int w = 0; w < width; w++) {
            for (int p = 0; p < block; p++) {
                gather(reference.phaseRe, tile, w, p, s.aRe[w * block + p]);
                gather(reference.phaseIm, tile, w, p, s.aIm[w * block + p]);
            }
        }
        if (sideways) {
            readBetweenLines(tile, rough ? ROUGH_LINE_TAPS : LINE_TAPS, s);
        }
        int lags = rough ? ROUGH_LAGS : LAGS;
        for (int w = 0; w < width; w++) {
            for (int i = 0; i < TILE; i++) {
                int into = i * shape.stride;
                if (sideways) {
                    fetch(tile, s.betweenRe, s.betweenIm, into + shape.stride, into, w, lags, s);
                } else {
                    fetch(tile, moved.phaseRe, moved.phaseIm, begin(tile) + into, into, w, lags, s);
                }
            }
        }
        multiply(s.aRe, s.aIm, lags, s);
        polynomials(product[tile], lags, s);
        if (sideways) {
            slopes(tile, first, s);
        }
    }

    /** Whole baseband samples of the displacement of a block, rounded down. */
    private static int wholeSamples(float[] middle, int k) {
        return (int) (middle[k] - 0.5f);
    }

    /** Where blocks begin to be displaced by another number of whole samples. */
    private static int endOfStretch(float[] middle, int from, int end) {
        float value = middle[from];
        int to = from + 1;
        while (to < end && middle[to] == value) {
            to++;
        }
        return to;
    }

    /** The second frame from the middle lags of the whole displacement on, by stretches. */
    private void fetch(
            int tile, float[][] re, float[][] im, int at, int into, int w, int lags, Scratch s) {
        float[] m = middle[tile];
        int first = (LAGS - lags) / 2;
        int end = into + shape.stride;
        int from = into;
        while (from < end) {
            int to = endOfStretch(m, from, end);
            int sample = wholeSamples(m, from) + FIRST + first;
            int plane = Math.floorMod(sample, block);
            int source = at + from - into + Math.floorDiv(sample, block);
            for (int i = first; i < first + block + lags - 1; i++) {
                int p = w * block + plane;
                System.arraycopy(re[p], source, s.bRe[w * span + i], from, to - from);
                System.arraycopy(im[p], source, s.bIm[w * span + i], from, to - from);
                plane++;
                if (plane == block) {
                    plane = 0;
                    source++;
                }
            }
            from = to;
        }
    }

    /** Where the second frame stands at the first lag for a sample of a block, by its plane. */
    private int atFirstLag(int plane) {
        return plane / block * span + plane % block;
    }

    /** Sums of the product of a block, at the middle lags. */
    private void multiply(float[][] aRe, float[][] aIm, int lags, Scratch s) {
        int first = (LAGS - lags) / 2;
        for (int j = first; j < first + lags; j++) {
            float[] re = s.lagRe[j];
            float[] im = s.lagIm[j];
            VectorLoops.conjugate(re, im, aRe[0], aIm[0], s.bRe[j], s.bIm[j], n);
            for (int q = 1; q < width * block; q++) {
                int there = atFirstLag(q) + j;
                VectorLoops.addConjugate(re, im, aRe[q], aIm[q], s.bRe[there], s.bIm[there], n);
            }
        }
    }

    private void polynomials(float[][] out, int lags, Scratch s) {
        polynomials(s.lagRe, out, 0, lags);
        polynomials(s.lagIm, out, 1, lags);
    }

    /** From lags to coefficients; those of even degree see sums of lags, the others differences. */
    private void polynomials(float[][] lag, float[][] out, int part, int lags) {
        int first = (LAGS - lags) / 2;
        int last = first + lags - 1;
        for (int j = 0; j < lags / 2; j++) {
            float[] a = lag[first + j];
            float[] b = lag[last - j];
            VectorLoops.sumAndDifference(a, b, a, b, n);
        }
        float[][] c = lags == LAGS ? TAPS : ROUGH_TAPS;
        for (int i = 0; i < c.length; i++) {
            float[] o = out[2 * i + part];
            float[] t = c[i];
            if (lags == ROUGH_LAGS) {
                float[] a = i % 2 == 0 ? lag[first] : lag[last];
                float[] b = i % 2 == 0 ? lag[first + 1] : lag[last - 1];
                VectorLoops.mix(o, a, b, t[0], t[1], n);
            } else if (i % 2 == 0) {
                VectorLoops.mix(o, lag[0], lag[1], lag[2], lag[3], t[0], t[1], t[2], t[3], n);
            } else {
                VectorLoops.mix(o, lag[7], lag[6], lag[5], lag[4], t[0], t[1], t[2], t[3], n);
            }
        }
    }

    /**
     * Energy of the second frame around the displacement, as a cubic through four lags; after
     * {@link #correlate}.
     */
    void energies(int tile, int worker) {
        Scratch s = scratch[worker];
        int first = LAGS / 2 - 2;
        for (int i = 0; i < block + 3; i++) {
            VectorLoops.power(s.power[i], s.bRe[first + i], s.bIm[first + i], n);
            for (int w = 1; w < width; w++) {
                int there = w * span + first + i;
                VectorLoops.addPower(s.power[i], s.bRe[there], s.bIm[there], n);
            }
            clearBetweenLines(s.power[i]);
        }
        for (int j = 0; j < 4; j++) {
            float[] sum = s.lagRe[j];
            System.arraycopy(s.power[j], 0, sum, 0, n);
            for (int p = 1; p < block; p++) {
                VectorLoops.accumulate(sum, s.power[j + p], n);
            }
        }
        // Lagrange's cubic through -1.5, -0.5, 0.5, 1.5.
        float[] a = s.lagRe[0];
        float[] b = s.lagRe[1];
        float[] c = s.lagRe[2];
        float[] d = s.lagRe[3];
        float[][] e = energy[tile];
        VectorLoops.mix(e[0], a, b, c, d, -1 / 16f, 9 / 16f, 9 / 16f, -1 / 16f, n);
        VectorLoops.mix(e[1], a, b, c, d, 1 / 24f, -27 / 24f, 27 / 24f, -1 / 24f, n);
        VectorLoops.mix(e[2], a, b, c, d, 1 / 4f, -1 / 4f, -1 / 4f, 1 / 4f, n);
        VectorLoops.mix(e[3], a, b, c, d, -1 / 6f, 1 / 2f, -1 / 2f, 1 / 6f, n);
        interpolatedEnergy(tile, s);
    }

    /**
     * What interpolating between the samples takes from the second frame's energy. Read between its
     * samples it has another energy than its own, by a part in a thousand or so; that is nothing to
     * the displacement, but at 40 dB as much as the noise.
     */
    private void interpolatedEnergy(int tile, Scratch s) {
        float[] g = s.place;
        VectorLoops.subtract(g, axial[tile], middle[tile], n);
        tapsAt(g, TAPS, s.lagRe, s);
        for (int q = 0; q < width * block; q++) {
            mixLags(s.bRe, atFirstLag(q), s, s.re);
            mixLags(s.bIm, atFirstLag(q), s, s.im);
            if (q == 0) {
                VectorLoops.power(s.other, s.re, s.im, n);
            } else {
                VectorLoops.addPower(s.other, s.re, s.im, n);
            }
        }
        clearBetweenLines(s.other);
        cubic(energy[tile], 1, 0, s.re, g);
        VectorLoops.subtract(s.other, s.other, s.re, n);
        VectorLoops.accumulate(energy[tile][0], s.other, n);
    }

    /** The taps of an interpolator, of degree 3 or 5, for each place between two samples. */
    private void tapsAt(float[] place, float[][] c, float[][] taps, Scratch s) {
        int count = c[0].length;
        boolean isCubic = c.length == ROUGH_DEGREE + 1;
        for (int j = 0; j < count / 2; j++) {
            float c4 = isCubic ? 0 : c[4][j];
            float c5 = isCubic ? 0 : c[5][j];
            VectorLoops.evenPolynomial(s.x, place, c[0][j], c[2][j], c4, n);
            VectorLoops.oddPolynomial(s.y, place, c[1][j], c[3][j], c5, n);
            VectorLoops.sumAndDifference(taps[j], taps[count - 1 - j], s.x, s.y, n);
        }
    }

    private void mixLags(float[][] b, int p, Scratch s, float[] out) {
        float[][] w = s.lagRe;
        VectorLoops.products(out, w[0], b[p], w[1], b[p + 1], n);
        for (int j = 2; j < LAGS; j += 2) {
            VectorLoops.addProducts(out, w[j], b[p + j], w[j + 1], b[p + j + 1], n);
        }
    }

    /** What the second frame has beyond the end of a line belongs to no block. */
    private void clearBetweenLines(float[] x) {
        for (int i = 0; i < TILE; i++) {
            Arrays.fill(x, i * shape.stride + shape.blocks, (i + 1) * shape.stride, 0f);
        }
    }

    /** The product for the displacement at hand, smoothed along the lines. */
    void product(int tile, int worker, boolean rough) {
        Scratch s = scratch[worker];
        evaluate(tile, rough, s);
        smoothAlong(s.re, productRe[1 - turn], tile, s);
        smoothAlong(s.im, productIm[1 - turn], tile, s);
    }

    /** Imaginary part of the product of the tile at hand, right after {@link #product}. */
    float[] quadrature(int worker) {
        return scratch[worker].im;
    }

    /**
     * The correlation at the displacement at hand, its carrier turned back; leaves the turn, and
     * the place between the samples.
     */
    private void evaluate(int tile, boolean rough, Scratch s) {
        float[] u = axial[tile];
        float[] g = s.place;
        VectorLoops.subtract(g, u, middle[tile], n);
        if (rough) {
            cubic(product[tile], 2, 0, s.re, g);
            cubic(product[tile], 2, 1, s.im, g);
        } else {
            polynomial(product[tile], 0, s.re, g);
            polynomial(product[tile], 1, s.im, g);
        }
        VectorLoops.turns(s.turns, u, turnsPerSample, n);
        VectorLoops.sine(s.sine, s.turns, n);
        VectorLoops.cosine(s.cosine, s.turns, n);
        VectorLoops.rotate(s.re, s.im, s.cosine, s.sine, n);
    }

    private void polynomial(float[][] c, int part, float[] out, float[] g) {
        VectorLoops.polynomial(out, c[6 + part], c[8 + part], c[10 + part], g, n);
        VectorLoops.continuePolynomial(out, c[2 + part], c[4 + part], g, n);
        VectorLoops.continuePolynomial(out, c[part], g, n);
    }

    private void cubic(float[][] c, int step, int part, float[] out, float[] g) {
        VectorLoops.polynomial(out, c[step + part], c[2 * step + part], c[3 * step + part], g, n);
        VectorLoops.continuePolynomial(out, c[part], g, n);
    }

    private void smoothAlong(float[] values, float[] plane, int tile, Scratch s) {
        smoothAlong(along, values, plane, tile, s);
    }

    private void smoothAlong(Smoother window, float[] values, float[] plane, int tile, Scratch s) {
        System.arraycopy(values, 0, s.buffer, shape.stride, n);
        window.smooth(s.buffer, shape.stride, 1, s.half, n, s.x, s.y, s.z, s.w);
        System.arraycopy(s.half, 0, plane, begin(tile), n);
    }

    private void smoothAcross(float[] plane, int tile, float[] out, Scratch s) {
        smoothAcross(across, plane, tile, out, s);
    }

    private void smoothAcross(Smoother window, float[] plane, int tile, float[] out, Scratch s) {
        window.smooth(plane, begin(tile), shape.stride, out, n, s.x, s.y, s.z, s.w);
    }

    /** Takes over what the phase of the smoothed product adds to the displacement. */
    void update(int tile, int worker) {
        Scratch s = scratch[worker];
        smoothAcross(productRe[turn], tile, sumRe[worker], s);
        smoothAcross(productIm[turn], tile, sumIm[worker], s);
        VectorLoops.angle(s.turns, sumRe[worker], sumIm[worker], s.half, n);
        addScaled(axial[tile], s.turns, -1 / turnsPerSample, farthest, n);
    }

    private static void addScaled(float[] u, float[] x, float factor, float most, int n) {
        for (int k = 0; k < n; k++) {
            u[k] = Math.max(-most, Math.min(most, u[k] + factor * x[k]));
        }
    }

    /** Both frames' energies, smoothed along the lines, after {@link #product} of the tile. */
    void energiesAlong(int tile, int worker) {
        Scratch s = scratch[worker];
        cubic(energy[tile], 1, 0, s.re, s.place);
        smoothAlong(s.re, movedEnergy, tile, s);
        System.arraycopy(reference.energy[0], begin(tile), s.re, 0, n);
        for (int w = 1; w < width; w++) {
            System.arraycopy(reference.energy[w], begin(tile), s.im, 0, n);
            VectorLoops.accumulate(s.re, s.im, n);
        }
        smoothAlong(s.re, referenceEnergy, tile, s);
    }

    /** Smooths values of a tile along the lines into a plane; x to w are workspace. */
    void smoothAlong(
            float[] values, float[] plane, int tile, float[] x, float[] y, float[] z, float[] w) {
        // Tiles are parted by zeros: within a plane they may be smoothed in place, line by line.
        System.arraycopy(values, 0, plane, begin(tile), n);
        along.smooth(plane, begin(tile), 1, values, n, x, y, z, w);
        System.arraycopy(values, 0, plane, begin(tile), n);
    }

    /** Smooths a plane across the lines; x to w are workspace. */
    void smoothAcross(
            float[] plane, int tile, float[] out, float[] x, float[] y, float[] z, float[] w) {
        across.smooth(plane, begin(tile), shape.stride, out, n, x, y, z, w);
    }

    /** Energies of a tile, smoothed both ways. */
    void energiesAcross(int tile, int worker, float[] first, float[] second) {
        smoothAcross(referenceEnergy, tile, first, scratch[worker]);
        smoothAcross(movedEnergy, tile, second, scratch[worker]);
    }

    // ---------------------------------------------------------------- sideways

    /**
     * The second frame between its lines, where the lateral displacement leads. Lines are mixed
     * before samples are, so the lateral displacement is carried along to where the axial one
     * leads.
     */
    private void readBetweenLines(int tile, float[][] c, Scratch s) {
        carry(tile, s);
        VectorLoops.middle(s.middleLine, s.other, farthestLateral, n);
        VectorLoops.subtract(s.place, s.other, s.middleLine, n);
        tapsAt(s.place, c, s.weights, s);
        int taps = c[0].length;
        findStretches(s);
        for (int w = 0; w < width; w++) {
            for (int p = 0; p < block; p++) {
                mixLines(moved.phaseRe, tile, w, p, taps, s, s.betweenRe[w * block + p]);
                mixLines(moved.phaseIm, tile, w, p, taps, s, s.betweenIm[w * block + p]);
            }
        }
    }

    /** Puts the lateral displacement of each block where its axial displacement leads. */
    private void carry(int tile, Scratch s) {
        float[] m = middle[tile];
        float[] applied = appliedLateral[tile];
        VectorLoops.hold(applied, lateral[tile], farthestLateral, n);
        for (int i = 0; i < TILE; i++) {
            int first = i * shape.stride;
            int last = first + shape.blocks;
            int end = first + shape.stride;
            int next = first;
            int from = first;
            while (from < last) {
                int to = endOfStretch(m, from, last);
                int shift = Math.floorDiv(wholeSamples(m, from), block);
                int begin = Math.max(first, Math.min(end, from + shift));
                int stop = Math.max(begin, Math.min(end, to + shift));
                if (begin > next) {
                    Arrays.fill(s.other, next, begin, applied[from]);
                }
                System.arraycopy(applied, begin - shift, s.other, begin, stop - begin);
                next = Math.max(next, stop);
                from = to;
            }
            Arrays.fill(s.other, next, end, applied[last - 1]);
        }
    }

    /** What has moved by the same whole number of lines is copied together. */
    private void findStretches(Scratch s) {
        float[] m = s.middleLine;
        int count = 0;
        for (int k = 0; k < n; k++) {
            if (k % shape.stride == 0 || m[k] != m[k - 1]) {
                s.stretchFrom[count] = k;
                s.stretchLines[count] = (int) (m[k] - 0.5f);
                count++;
            }
        }
        s.stretchFrom[count] = n;
        s.stretches = count;
    }

    /** A sample of the blocks of the second frame at the lateral displacement of each. */
    private void mixLines(
            float[][] planes, int tile, int w, int sample, int taps, Scratch s, float[] out) {
        for (int i = 0; i < s.stretches; i++) {
            int from = s.stretchFrom[i];
            int length = s.stretchFrom[i + 1] - from;
            int first = w + s.stretchLines[i] - (taps / 2 - 1);
            for (int j = 0; j < taps; j++) {
                float[] plane = planes[shape.planeOfLine(first + j) + sample];
                int at = begin(tile) + from + shape.startOfLine(first + j);
                System.arraycopy(plane, at, s.row[j], from, length);
            }
        }
        VectorLoops.products(s.re, s.weights[0], s.row[0], s.weights[1], s.row[1], n);
        for (int j = 2; j < taps; j += 2) {
            VectorLoops.addProducts(
                    s.re, s.weights[j], s.row[j], s.weights[j + 1], s.row[j + 1], n);
        }
        System.arraycopy(s.re, 0, out, shape.stride, n);
    }

    /** The slope of the first frame across its lines, and its correlation with the second. */
    private void slopes(int tile, boolean first, Scratch s) {
        for (int w = 0; w < width; w++) {
            for (int p = 0; p < block; p++) {
                slope(reference.phaseRe, tile, w, p, s, s.hRe[w * block + p]);
                slope(reference.phaseIm, tile, w, p, s, s.hIm[w * block + p]);
            }
        }
        if (first) {
            float[] self = slopeSelf[tile];
            VectorLoops.products(self, s.hRe[0], s.aRe[0], s.hIm[0], s.aIm[0], n);
            VectorLoops.power(s.re, s.hRe[0], s.hIm[0], n);
            for (int q = 1; q < width * block; q++) {
                VectorLoops.addProducts(self, s.hRe[q], s.aRe[q], s.hIm[q], s.aIm[q], n);
                VectorLoops.addPower(s.re, s.hRe[q], s.hIm[q], n);
            }
            smoothAlong(lateralAlong, s.re, lateralLeft, tile, s);
        }
        multiply(s.hRe, s.hIm, ROUGH_LAGS, s);
        polynomials(slopeProduct[tile], ROUGH_LAGS, s);
    }

    /** Twice the slope. */
    private void slope(float[][] planes, int tile, int w, int sample, Scratch s, float[] out) {
        gather(planes, tile, w + 1, sample, s.x);
        gather(planes, tile, w - 1, sample, s.y);
        VectorLoops.subtract(out, s.x, s.y, n);
        // The outermost lines have a neighbour on one side only.
        for (int i = 0; i < TILE; i++) {
            int line = (tile * TILE + i) * width + w;
            if (line == 0 || line >= reference.lines - 1) {
                Arrays.fill(out, i * shape.stride, (i + 1) * shape.stride, 0f);
            }
        }
    }

    /** What the slopes say of the lateral displacement, after {@link #product} of the tile. */
    void lateralEquations(int tile, int worker) {
        if (!sideways) {
            return;
        }
        Scratch s = scratch[worker];
        cubic(slopeProduct[tile], 2, 0, s.re, s.place);
        cubic(slopeProduct[tile], 2, 1, s.im, s.place);
        VectorLoops.rotate(s.re, s.im, s.cosine, s.sine, n);
        VectorLoops.subtract(s.re, slopeSelf[tile], s.re, n);
        smoothAlong(lateralAlong, s.re, lateralRight, tile, s);
    }

    /** Takes over what the slopes say of the lateral displacement. */
    void updateLateral(int tile, int worker, boolean first) {
        if (!sideways) {
            return;
        }
        Scratch s = scratch[worker];
        if (first) {
            smoothAcross(lateralAcross, lateralLeft, tile, s.re, s);
            VectorLoops.scale(slopePower[tile], s.re, 0.25f, n);
        }
        smoothAcross(lateralAcross, lateralRight, tile, s.im, s);
        VectorLoops.scale(s.re, s.im, 0.5f, n);
        VectorLoops.addRatio(
                lateral[tile], appliedLateral[tile], s.re, slopePower[tile], farthestLateral, n);
    }

    /** Energy of the slopes of a tile, smoothed, after {@link #updateLateral}. */
    float[] slopePower(int tile) {
        return slopePower[tile];
    }
}
