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

    /** Lags of the slope's correlation: the middle ones. */
    private static final int SLOPE_LAGS = 4;

    private static final int SLOPE_DEGREE = 3;
    private static final float[][] SLOPE_TAPS =
            BlockInterpolator.coefficients(SLOPE_LAGS, SLOPE_DEGREE, 0.28, 0.6);

    private static final int LINES = 6;
    private static final int LINE_DEGREE = 5;
    private static final float[][] LINE_TAPS =
            BlockInterpolator.coefficients(LINES, LINE_DEGREE, 0.30, 0.5);

    private static final int TILE = LatticeFrame.TILE;

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

    /** Imaginary part of the product of the tile at hand, after {@link #product}. */
    final float[][] quadrature;

    /** The smoothed product at the tile at hand, for each worker, after {@link #update}. */
    final float[][] sumRe;

    final float[][] sumIm;

    /** Shape of all that is kept here: of every so manieth line. */
    final LatticeFrame.Shape shape;

    /** Lines of the frames from one that is correlated to the next. */
    private final int lineStep;

    private final int n;
    private final int block;
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

    /** Real part of slope times first frame, and energy of the slope, by tile. */
    private final float[][] slopeSelf;

    private final float[][] slopeEnergy;
    private final float[] lateralRight;
    private final float[] lateralLeft;

    /** Lateral displacement at which the lines of the second frame were mixed. */
    private final float[][] appliedLateral;

    private final Scratch[] scratch;
    private LatticeFrame reference;
    private LatticeFrame moved;

    /** Workspace of a worker. */
    private final class Scratch {
        final float[][] aRe = new float[block][n];
        final float[][] aIm = new float[block][n];
        final float[][] hRe = new float[sideways ? block : 0][n];
        final float[][] hIm = new float[sideways ? block : 0][n];
        final float[][] bRe = new float[block + LAGS - 1][n];
        final float[][] bIm = new float[block + LAGS - 1][n];
        final float[][] power = new float[block + 3][n];
        final float[][] lagRe = new float[LAGS][n];
        final float[][] lagIm = new float[LAGS][n];

        /** The second frame between its lines, with room before and behind. */
        final float[][] betweenRe = new float[sideways ? block : 0][n + 2 * shape.stride];

        final float[][] betweenIm = new float[sideways ? block : 0][n + 2 * shape.stride];
        final float[][] row = new float[LINES][n];
        final float[] slopePower = new float[n];
        final float[][] weights = new float[LINES][n];
        final int[] wholeSamples = new int[n];
        final int[] wholeLines = new int[n];
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
            int lineStep,
            Workers workers) {
        this.lineStep = lineStep;
        this.along = new Smoother(along);
        this.across = new Smoother(across);
        lateralAlong =
                new Smoother(
                        new GaussianWindow(
                                1.5 * along.deviation(), frame.shape.stride - frame.shape.blocks));
        lateralAcross = new Smoother(lateralWindow(across, frame.linesEvery(lineStep)));
        this.sideways = sideways;
        shape = frame.shape.every(lineStep);
        block = shape.block;
        n = TILE * shape.stride;
        turnsPerSample = (float) (2 * frame.spacing / geometry.wavelength());
        // What lies between the lines is as deep as the search range and a lag beyond it.
        farthest = (shape.stride - shape.blocks - 1) * block - LAGS;
        farthestLateral = shape.first / shape.stride - LINES / 2 - 1;
        int tiles = shape.tiles;
        axial = new float[tiles][n];
        lateral = new float[tiles][n];
        middle = new float[tiles][n];
        product = new float[tiles][2 * (DEGREE + 1)][n];
        slopeProduct = new float[sideways ? tiles : 0][2 * (SLOPE_DEGREE + 1)][n];
        energy = new float[tiles][4][n];
        slopeSelf = new float[sideways ? tiles : 0][n];
        slopeEnergy = new float[sideways ? tiles : 0][n];
        productRe = new float[2][shape.size];
        productIm = new float[2][shape.size];
        referenceEnergy = new float[shape.size];
        movedEnergy = new float[shape.size];
        lateralRight = new float[sideways ? shape.size : 0];
        lateralLeft = new float[sideways ? shape.size : 0];
        appliedLateral = new float[sideways ? tiles : 0][n];
        quadrature = new float[workers.count()][n];
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

    /** Where a line of a tile begins in the frames' planes. */
    private int lineOfFrame(int tile, int i) {
        return shape.first + (tile * TILE + i) * lineStep * shape.stride;
    }

    /** The lines of a tile from a frame's plane, or those a few lines farther. */
    private void gather(float[] plane, int tile, int farther, float[] to) {
        for (int i = 0; i < TILE; i++) {
            int at = lineOfFrame(tile, i) + farther * shape.stride;
            System.arraycopy(plane, at, to, i * shape.stride, shape.stride);
        }
    }

    /** Correlates a tile around its displacement, at all lags, and keeps the polynomials. */
    void correlate(int tile, int worker) {
        Scratch s = scratch[worker];
        splitWhole(tile, s);
        for (int p = 0; p < block; p++) {
            gather(reference.phaseRe[p], tile, 0, s.aRe[p]);
            gather(reference.phaseIm[p], tile, 0, s.aIm[p]);
        }
        if (sideways) {
            readBetweenLines(tile, s);
        }
        for (int i = 0; i < TILE; i++) {
            if (sideways) {
                fetch(s.betweenRe, s.betweenIm, (i + 1) * shape.stride, i * shape.stride, s);
            } else {
                int at = lineOfFrame(tile, i);
                fetch(moved.phaseRe, moved.phaseIm, at, i * shape.stride, s);
            }
        }
        for (int j = 0; j < LAGS; j++) {
            multiply(s.aRe, s.aIm, j, s);
        }
        polynomials(s.lagRe, product[tile], 0, LAGS, TAPS, s);
        polynomials(s.lagIm, product[tile], 1, LAGS, TAPS, s);
        if (sideways) {
            slopes(tile, s);
        }
    }

    /** Whole samples of the displacement, rounded down and kept within what can be read. */
    private void splitWhole(int tile, Scratch s) {
        float[] u = axial[tile];
        float[] m = middle[tile];
        for (int k = 0; k < n; k++) {
            float x = Math.max(-farthest, Math.min(farthest, u[k]));
            int below = (int) (x + 65536f) - 65536;
            s.wholeSamples[k] = below;
            m[k] = below + 0.5f;
        }
    }

    /** The second frame from every lag of the whole displacement on, stretch by stretch. */
    private void fetch(float[][] re, float[][] im, int at, int into, Scratch s) {
        int[] m = s.wholeSamples;
        int end = into + shape.stride;
        int from = into;
        while (from < end) {
            int to = from + 1;
            while (to < end && m[to] == m[from]) {
                to++;
            }
            int plane = Math.floorMod(m[from] + FIRST, block);
            int source = at + from - into + Math.floorDiv(m[from] + FIRST, block);
            for (int i = 0; i < block + LAGS - 1; i++) {
                System.arraycopy(re[plane], source, s.bRe[i], from, to - from);
                System.arraycopy(im[plane], source, s.bIm[i], from, to - from);
                plane++;
                if (plane == block) {
                    plane = 0;
                    source++;
                }
            }
            from = to;
        }
    }

    private void multiply(float[][] aRe, float[][] aIm, int lag, Scratch s) {
        float[] re = s.lagRe[lag];
        float[] im = s.lagIm[lag];
        VectorLoops.conjugate(re, im, aRe[0], aIm[0], s.bRe[lag], s.bIm[lag], n);
        for (int p = 1; p < block; p++) {
            VectorLoops.addConjugate(re, im, aRe[p], aIm[p], s.bRe[lag + p], s.bIm[lag + p], n);
        }
    }

    /** From lags to coefficients; those of even degree see sums of lags, the others differences. */
    private void polynomials(
            float[][] lags, float[][] out, int part, int taps, float[][] c, Scratch s) {
        int first = (LAGS - taps) / 2;
        for (int j = 0; j < taps / 2; j++) {
            float[] a = lags[first + j];
            float[] b = lags[first + taps - 1 - j];
            VectorLoops.sumAndDifference(s.x, s.y, a, b, n);
            System.arraycopy(s.x, 0, a, 0, n);
            System.arraycopy(s.y, 0, b, 0, n);
        }
        int last = first + taps - 1;
        for (int i = 0; i < c.length; i++) {
            float[] o = out[2 * i + part];
            float[] t = c[i];
            if (taps == 4) {
                float[] a = i % 2 == 0 ? lags[first] : lags[last];
                float[] b = i % 2 == 0 ? lags[first + 1] : lags[last - 1];
                VectorLoops.mix(o, a, b, a, b, t[0], t[1], 0, 0, n);
            } else if (i % 2 == 0) {
                VectorLoops.mix(o, lags[0], lags[1], lags[2], lags[3], t[0], t[1], t[2], t[3], n);
            } else {
                VectorLoops.mix(o, lags[7], lags[6], lags[5], lags[4], t[0], t[1], t[2], t[3], n);
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
        for (int j = 0; j < LAGS / 2; j++) {
            VectorLoops.evenPolynomial(s.x, g, TAPS[0][j], TAPS[2][j], TAPS[4][j], n);
            VectorLoops.oddPolynomial(s.y, g, TAPS[1][j], TAPS[3][j], TAPS[5][j], n);
            VectorLoops.sumAndDifference(s.lagRe[j], s.lagRe[LAGS - 1 - j], s.x, s.y, n);
        }
        for (int p = 0; p < block; p++) {
            mixLags(s.bRe, p, s, s.re);
            mixLags(s.bIm, p, s, s.im);
            if (p == 0) {
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
    void product(int tile, int worker) {
        Scratch s = scratch[worker];
        evaluate(tile, s);
        System.arraycopy(s.im, 0, quadrature[worker], 0, n);
        smoothAlong(s.re, productRe[1 - turn], tile, s);
        smoothAlong(s.im, productIm[1 - turn], tile, s);
    }

    /** The correlation at the displacement at hand, its carrier turned back; leaves the turn. */
    private void evaluate(int tile, Scratch s) {
        float[] u = axial[tile];
        float[] g = s.place;
        VectorLoops.subtract(g, u, middle[tile], n);
        polynomial(product[tile], 0, s.re, g);
        polynomial(product[tile], 1, s.im, g);
        VectorLoops.turns(s.turns, u, turnsPerSample, n);
        VectorLoops.sine(s.sine, s.turns, n);
        VectorLoops.quarterOn(s.half, s.turns, n);
        VectorLoops.sine(s.cosine, s.half, n);
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

    /** Both frames' energies, smoothed along the lines, for the displacement at hand. */
    void energiesAlong(int tile, int worker) {
        Scratch s = scratch[worker];
        VectorLoops.subtract(s.place, axial[tile], middle[tile], n);
        cubic(energy[tile], 1, 0, s.re, s.place);
        smoothAlong(s.re, movedEnergy, tile, s);
        gather(reference.energy, tile, 0, s.re);
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
    private void readBetweenLines(int tile, Scratch s) {
        carry(tile, s);
        for (int k = 0; k < n; k++) {
            int below = (int) (s.other[k] + 65536f) - 65536;
            s.wholeLines[k] = below;
            s.place[k] = s.other[k] - below - 0.5f;
        }
        for (int j = 0; j < LINES / 2; j++) {
            float[][] c = LINE_TAPS;
            VectorLoops.evenPolynomial(s.x, s.place, c[0][j], c[2][j], c[4][j], n);
            VectorLoops.oddPolynomial(s.y, s.place, c[1][j], c[3][j], c[5][j], n);
            VectorLoops.sumAndDifference(s.weights[j], s.weights[LINES - 1 - j], s.x, s.y, n);
        }
        for (int p = 0; p < block; p++) {
            fetchLines(moved.phaseRe[p], tile, s);
            mixLines(s, s.betweenRe[p]);
            fetchLines(moved.phaseIm[p], tile, s);
            mixLines(s, s.betweenIm[p]);
        }
    }

    /** Puts the lateral displacement of each block where its axial displacement leads. */
    private void carry(int tile, Scratch s) {
        float[] v = lateral[tile];
        float[] applied = appliedLateral[tile];
        for (int i = 0; i < TILE; i++) {
            int first = i * shape.stride;
            int next = first;
            for (int k = first; k < first + shape.blocks; k++) {
                float x = Math.max(-farthestLateral, Math.min(farthestLateral, v[k]));
                applied[k] = x;
                int to = k + Math.floorDiv(s.wholeSamples[k], block);
                for (; next <= to && next < first + shape.stride; next++) {
                    s.other[next] = x;
                }
                if (to >= first && to < first + shape.stride) {
                    s.other[to] = x;
                    next = Math.max(next, to + 1);
                }
            }
            for (; next < first + shape.stride; next++) {
                s.other[next] = applied[first + shape.blocks - 1];
            }
        }
    }

    private void fetchLines(float[] plane, int tile, Scratch s) {
        int[] m = s.wholeLines;
        for (int i = 0; i < TILE; i++) {
            int from = i * shape.stride;
            int end = from + shape.stride;
            int line = lineOfFrame(tile, i) - from;
            while (from < end) {
                int to = from + 1;
                while (to < end && m[to] == m[from]) {
                    to++;
                }
                int at = line + from + (m[from] - (LINES / 2 - 1)) * shape.stride;
                for (int j = 0; j < LINES; j++) {
                    System.arraycopy(plane, at + j * shape.stride, s.row[j], from, to - from);
                }
                from = to;
            }
        }
    }

    private void mixLines(Scratch s, float[] out) {
        VectorLoops.products(s.re, s.weights[0], s.row[0], s.weights[1], s.row[1], n);
        VectorLoops.addProducts(s.re, s.weights[2], s.row[2], s.weights[3], s.row[3], n);
        VectorLoops.addProducts(s.re, s.weights[4], s.row[4], s.weights[5], s.row[5], n);
        System.arraycopy(s.re, 0, out, shape.stride, n);
    }

    /** The slope of the first frame across its lines, and its correlation with the second. */
    private void slopes(int tile, Scratch s) {
        for (int p = 0; p < block; p++) {
            slope(reference.phaseRe[p], tile, s, s.hRe[p]);
            slope(reference.phaseIm[p], tile, s, s.hIm[p]);
        }
        float[] self = slopeSelf[tile];
        float[] power = slopeEnergy[tile];
        VectorLoops.products(self, s.hRe[0], s.aRe[0], s.hIm[0], s.aIm[0], n);
        VectorLoops.power(power, s.hRe[0], s.hIm[0], n);
        for (int p = 1; p < block; p++) {
            VectorLoops.addProducts(self, s.hRe[p], s.aRe[p], s.hIm[p], s.aIm[p], n);
            VectorLoops.addPower(power, s.hRe[p], s.hIm[p], n);
        }
        int first = (LAGS - SLOPE_LAGS) / 2;
        for (int j = first; j < first + SLOPE_LAGS; j++) {
            multiply(s.hRe, s.hIm, j, s);
        }
        polynomials(s.lagRe, slopeProduct[tile], 0, SLOPE_LAGS, SLOPE_TAPS, s);
        polynomials(s.lagIm, slopeProduct[tile], 1, SLOPE_LAGS, SLOPE_TAPS, s);
    }

    private void slope(float[] plane, int tile, Scratch s, float[] out) {
        gather(plane, tile, 1, s.x);
        gather(plane, tile, -1, s.y);
        VectorLoops.subtract(out, s.x, s.y, n);
        VectorLoops.scale(out, out, 0.5f, n);
        // The outermost lines have a neighbour on one side only.
        for (int i = 0; i < TILE; i++) {
            int line = (tile * TILE + i) * lineStep;
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
        smoothAlong(lateralAlong, slopeEnergy[tile], lateralLeft, tile, s);
    }

    /** Takes over what the slopes say of the lateral displacement. */
    void updateLateral(int tile, int worker) {
        if (!sideways) {
            return;
        }
        Scratch s = scratch[worker];
        smoothAcross(lateralAcross, lateralRight, tile, s.re, s);
        smoothAcross(lateralAcross, lateralLeft, tile, s.slopePower, s);
        VectorLoops.addRatio(
                lateral[tile], appliedLateral[tile], s.re, s.slopePower, farthestLateral, n);
    }

    /** Energy of the slopes of the tile at hand, smoothed, after {@link #updateLateral}. */
    float[] slopePower(int worker) {
        return scratch[worker].slopePower;
    }
}
