package org.elasto.tracking.lattice;

import java.util.Arrays;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.VectorLoops;

/**
 * How much a window's phase errs for the noise that its correlation tells: the deviation of the
 * phase (rad) over {@code sqrt((1 - r^2) / r^2)}, for every row.
 *
 * <p>How far noise averages out over a window depends on how many of its samples are independent,
 * which is another number for electronic noise than for tissue that changed, and on how much of
 * what lowers the correlation (strain within the window, interpolation) does not move the phase at
 * all. Both are measured on the pair at hand: what is left over in quadrature, over energy and over
 * the noise of its own window, so that every block counts alike, goes together from block to block
 * and from line to line as {@link ResidueWeights} needs it. Since the cause differs by depth, as
 * the echo fades or a reflector comes near, this is done in bands of a window's depth.
 *
 * <p>Tiles may be measured by several threads at a time. A call allocates nothing.
 */
final class ResidueCalibration {

    /** Deviation of the smoothing over bands, in bands. */
    private static final double BANDS = 1.2;

    /** Weight of the whole picture in a band, as a share of the band's blocks. */
    private static final double PICTURE = 0.02;

    /** Least variance in a band over that of the whole picture. */
    private static final double LEAST_OF_PICTURE = 0.2;

    /** Least variance over that of independent noise. */
    private static final double LEAST_OF_WHITE = 0.1;

    /**
     * Beyond so many deviations of independent noise a block is held: a reflector, many times
     * brighter than its window, must not speak for all the others.
     */
    private static final double MOST_DEVIATIONS = 4;

    private final LatticeFrame.Shape shape;
    private final int n;
    private final int strips;
    private final int rows;
    private final int bandRows;
    private final int bands;
    private final double[][] weights;
    private final float most;
    private final double white;

    /** Share of each block's window that lies within the scan, by tile; 0 beyond it. */
    private final float[][] within;

    private final float[][] quadrature;
    private final double[][] squares;
    private final int[][] counts;
    private final double[] bandSquares;
    private final double[] bandCounts;
    private final double[] bandVariances;
    private final GaussianWindow smoothing;
    private final float[] perNoise;

    /**
     * Makes a calibration.
     *
     * @param frame a frame of the kind that is tracked
     * @param rows rows of the field
     * @param along window that is applied twice along the lines
     * @param across the same across the lines
     * @param windowBlocks blocks of an equivalent window
     * @param independent independent samples in an equivalent window
     */
    ResidueCalibration(
            LatticeFrame frame,
            int rows,
            GaussianWindow along,
            GaussianWindow across,
            double windowBlocks,
            double independent) {
        shape = frame.shape;
        n = LatticeFrame.TILE * shape.stride;
        strips = shape.strips;
        this.rows = rows;
        bandRows = (int) Math.max(1, Math.round(windowBlocks));
        bands = (rows + bandRows - 1) / bandRows;
        weights = weights(along, across);
        white = 0.5 / independent;
        most =
                (float)
                        (MOST_DEVIATIONS
                                * Math.sqrt(0.5 / (frame.bandShare * shape.block * shape.width)));
        within = shape.products(inside(across, strips), inside(along, shape.blocks));
        quadrature = new float[shape.tiles][n];
        squares = new double[quadrature.length][bands];
        counts = new int[quadrature.length][bands];
        bandSquares = new double[bands];
        bandCounts = new double[bands];
        bandVariances = new double[bands];
        smoothing = new GaussianWindow(BANDS, Math.max(1, bands - 1));
        perNoise = new float[rows];
    }

    /** The weights, for covariances that are summed over those pairs of lines that tiles have. */
    private double[][] weights(GaussianWindow along, GaussianWindow across) {
        int[] pairs = new int[LatticeFrame.TILE];
        for (int tile = 0; tile < shape.tiles; tile++) {
            int have = Math.min(LatticeFrame.TILE, strips - tile * LatticeFrame.TILE);
            for (int l = 0; l < have; l++) {
                pairs[l] += have - l;
            }
        }
        int lags = 1;
        while (across.halfWidth() > 0 && lags < ResidueWeights.LATERAL_LAGS && pairs[lags] > 0) {
            lags++;
        }
        double[][] result = ResidueWeights.of(along, across, lags, shape.width);
        for (double[] row : result) {
            for (int l = 0; l < lags; l++) {
                row[l] *= pairs[0] / (double) pairs[l];
            }
        }
        return result;
    }

    /** Sum of the window's weights that lie within a row of elements. */
    private static float[] inside(GaussianWindow window, int n) {
        float[] sums = new float[n];
        for (int i = 0; i < n; i++) {
            double sum = 0;
            for (int j = -window.halfWidth(); j <= window.halfWidth(); j++) {
                sum += i + j >= 0 && i + j < n ? window.tap(j) : 0;
            }
            sums[i] = (float) sum;
        }
        return sums;
    }

    /** Notes what a tile has left over in quadrature, before its last step. */
    void note(int tile, float[] left) {
        System.arraycopy(left, 0, quadrature[tile], 0, n);
    }

    /**
     * Measures a tile whose quadrature has been noted.
     *
     * @param tile the tile
     * @param first energy of the first frame in the window of each block
     * @param second that of the second
     * @param r2 squared correlation
     * @param known 1 where a block counts, 0 elsewhere
     * @param x workspace
     * @param y workspace
     * @param z workspace
     */
    void measure(
            int tile,
            float[] first,
            float[] second,
            float[] r2,
            float[] known,
            float[] x,
            float[] y,
            float[] z) {
        VectorLoops.overNoise(x, quadrature[tile], first, second, r2, n);
        VectorLoops.heldProduct(x, x, within[tile], known, most, n);
        VectorLoops.scale(z, x, (float) weights[0][0], n);
        for (int a = 0; a < weights.length; a++) {
            for (int l = 0; l < weights[a].length; l++) {
                int shift = l * shape.stride + a;
                if (shift > 0 && weights[a][l] != 0) {
                    System.arraycopy(x, shift, y, 0, n - shift);
                    Arrays.fill(y, n - shift, n, 0f);
                    VectorLoops.addScaled(z, y, (float) weights[a][l], n);
                }
            }
        }
        sum(x, z, known, squares[tile], counts[tile]);
    }

    /** Sums over the bands of a tile. */
    private void sum(float[] x, float[] z, float[] known, double[] square, int[] count) {
        Arrays.fill(square, 0);
        Arrays.fill(count, 0);
        for (int i = 0; i < LatticeFrame.TILE; i++) {
            int at = i * shape.stride;
            for (int band = 0; band < bands; band++) {
                int end = at + Math.min(rows, (band + 1) * bandRows);
                float sum = 0;
                float blocks = 0;
                for (int k = at + band * bandRows; k < end; k++) {
                    sum += x[k] * z[k];
                    blocks += known[k];
                }
                square[band] += sum;
                count[band] += (int) blocks;
            }
        }
    }

    /**
     * From all tiles that have been measured to the deviation for each row.
     *
     * @return deviation of the phase (rad) over the root of {@code (1 - r^2) / r^2}
     */
    float[] complete() {
        double picture = gather();
        for (int band = 0; band < bands; band++) {
            double prior = PICTURE * strips * bandRows;
            double sum = prior * picture;
            double count = prior;
            for (int other = 0; other < bands; other++) {
                double weight = smoothing.tap(other - band);
                sum += weight * bandSquares[other];
                count += weight * bandCounts[other];
            }
            bandVariances[band] = Math.max(sum / count, LEAST_OF_PICTURE * picture);
        }
        for (int row = 0; row < rows; row++) {
            double place = (row + 0.5) / bandRows - 0.5;
            int band = (int) Math.max(0, Math.min(bands - 2, Math.floor(place)));
            int next = Math.min(bands - 1, band + 1);
            double share = Math.max(0, Math.min(1, place - band));
            perNoise[row] =
                    (float)
                            Math.sqrt(
                                    (1 - share) * bandVariances[band]
                                            + share * bandVariances[next]);
        }
        return perNoise;
    }

    /** Sums over the tiles; returns the variance of the whole picture. */
    private double gather() {
        Arrays.fill(bandSquares, 0);
        Arrays.fill(bandCounts, 0);
        double square = 0;
        double count = 0;
        for (int i = 0; i < squares.length; i++) {
            for (int band = 0; band < bands; band++) {
                bandSquares[band] += squares[i][band];
                bandCounts[band] += counts[i][band];
                square += squares[i][band];
                count += counts[i][band];
            }
        }
        return count > 0 ? Math.max(square / count, LEAST_OF_WHITE * white) : white;
    }
}
