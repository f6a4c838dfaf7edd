package org.elasto.tracking.lattice;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.GaussianWindow;
import org.junit.jupiter.api.Test;

/** The loops over tiles against sums written out, and what comes of noise that differs by depth. */
class ResidueCalibrationTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(26, 1300, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    private static final int BAND = 7;

    private final LatticeFrame frame =
            new LatticeFrame(
                    GEOMETRY,
                    6e6,
                    4,
                    Workers.sequential(),
                    new LatticeFrame.Plan(1, 4, 1, 4, 10, 8));
    private final GaussianWindow along = new GaussianWindow(2.6, 60);
    private final GaussianWindow across = new GaussianWindow(1.5, frame.lines - 1);
    private final int stride = frame.shape.stride;
    private final int rows = frame.length / frame.shape.block;
    private final int n = LatticeFrame.TILE * stride;

    private ResidueCalibration calibration() {
        return new ResidueCalibration(frame, rows, along, across, BAND, 40);
    }

    private int tiles() {
        return frame.shape.tiles;
    }

    /** Quadrature, both energies, squared correlation, and what counts, tile after tile. */
    private final class Blocks {
        final float[][] q = new float[tiles()][n];
        final float[][] e = new float[tiles()][n];
        final float[][] f = new float[tiles()][n];
        final float[][] r2 = new float[tiles()][n];
        final float[][] known = new float[tiles()][n];

        float at(float[][] x, int line, int row) {
            return x[line / LatticeFrame.TILE][line % LatticeFrame.TILE * stride + row];
        }

        float[] measure(ResidueCalibration calibration) {
            for (int tile = 0; tile < tiles(); tile++) {
                calibration.note(tile, q[tile]);
                calibration.measure(
                        tile,
                        e[tile],
                        f[tile],
                        r2[tile],
                        known[tile],
                        new float[n],
                        new float[n],
                        new float[n]);
            }
            return calibration.complete();
        }
    }

    /** Independent noise whose size over what the correlation tells is given for each row. */
    private Blocks blocks(long seed, float[] size, double unknown) {
        Random random = new Random(seed);
        Blocks b = new Blocks();
        for (int line = 0; line < frame.lines; line++) {
            for (int row = 0; row < rows; row++) {
                int tile = line / LatticeFrame.TILE;
                int k = line % LatticeFrame.TILE * stride + row;
                b.e[tile][k] = 50 + 50 * random.nextFloat();
                b.f[tile][k] = 50 + 50 * random.nextFloat();
                b.r2[tile][k] = 0.5f + 0.499f * random.nextFloat();
                double scale = Math.sqrt(b.e[tile][k] * b.f[tile][k] * (1 - b.r2[tile][k]));
                b.q[tile][k] = (float) (size[row] * scale * random.nextGaussian());
                b.known[tile][k] = random.nextDouble() < unknown ? 0 : 1;
            }
        }
        return b;
    }

    private static double inside(GaussianWindow window, int at, int n) {
        double sum = 0;
        for (int j = -window.halfWidth(); j <= window.halfWidth(); j++) {
            sum += at + j >= 0 && at + j < n ? window.tap(j) : 0;
        }
        return sum;
    }

    /** A block over its noise, as the class says. */
    private double left(Blocks b, int line, int row) {
        double noise =
                Math.sqrt(
                        b.at(b.e, line, row) * b.at(b.f, line, row) * (1 - b.at(b.r2, line, row)));
        double x = b.at(b.q, line, row) / noise;
        x *= inside(along, row, frame.shape.blocks) * inside(across, line, frame.lines);
        double most = 4 * Math.sqrt(0.5 / (frame.bandShare * frame.shape.block));
        return b.at(b.known, line, row) > 0 ? Math.max(-most, Math.min(most, x)) : 0;
    }

    /** Variance of each row, all sums written out. */
    private double[] plain(Blocks b) {
        double[][] weights = ResidueWeights.of(along, across, ResidueWeights.LATERAL_LAGS, 1);
        int bands = (rows + BAND - 1) / BAND;
        double[] squares = new double[bands];
        double[] counts = new double[bands];
        double[] pairs = new double[LatticeFrame.TILE];
        for (int line = 0; line < frame.lines; line++) {
            for (int l = 0; line % LatticeFrame.TILE + l < LatticeFrame.TILE; l++) {
                pairs[l] += line + l < frame.lines ? 1 : 0;
            }
        }
        for (int line = 0; line < frame.lines; line++) {
            for (int row = 0; row < rows; row++) {
                counts[row / BAND] += b.at(b.known, line, row);
                for (int l = 0; line % LatticeFrame.TILE + l < LatticeFrame.TILE; l++) {
                    for (int a = 0; a < weights.length && row + a < rows; a++) {
                        if (line + l < frame.lines) {
                            squares[row / BAND] +=
                                    weights[a][l]
                                            * pairs[0]
                                            / pairs[l]
                                            * left(b, line, row)
                                            * left(b, line + l, row + a);
                        }
                    }
                }
            }
        }
        double picture = Arrays.stream(squares).sum() / Arrays.stream(counts).sum();
        double prior = 0.02 * frame.lines * BAND;
        double[] variances = new double[bands];
        GaussianWindow smooth = new GaussianWindow(1.2, bands - 1);
        for (int band = 0; band < bands; band++) {
            double square = prior * picture;
            double count = prior;
            for (int other = 0; other < bands; other++) {
                square += smooth.tap(other - band) * squares[other];
                count += smooth.tap(other - band) * counts[other];
            }
            variances[band] = Math.max(0.2 * picture, square / count);
        }
        double[] result = new double[rows];
        for (int row = 0; row < rows; row++) {
            double place = (row - (BAND - 1) / 2.0) / BAND;
            int band = (int) Math.max(0, Math.min(bands - 2, Math.floor(place)));
            double share = Math.max(0, Math.min(1, place - band));
            result[row] = (1 - share) * variances[band] + share * variances[band + 1];
        }
        return result;
    }

    @Test
    void loopsGiveThePlainSums() {
        float[] size = new float[rows];
        for (int row = 0; row < rows; row++) {
            size[row] = 0.2f + 0.3f * row / rows;
        }
        Blocks b = blocks(3, size, 0.2);
        // Brighter than everything around it: held.
        b.q[1][stride + 30] *= 1000;
        float[] fast = b.measure(calibration());
        double[] slow = plain(b);
        assertEquals(rows, fast.length);
        for (int row = 0; row < rows; row++) {
            assertEquals(1, fast[row] * fast[row] / slow[row], 1e-4, "row " + row);
        }
    }

    /** One number for the whole picture would be three times off at one end. */
    @Test
    void noiseThatDiffersByDepthIsToldByDepth() {
        float[] size = new float[rows];
        for (int row = 0; row < rows; row++) {
            size[row] = row < rows / 2 ? 0.1f : 0.3f;
        }
        double above = 0;
        double below = 0;
        int pictures = 20;
        for (int seed = 1; seed <= pictures; seed++) {
            float[] told = blocks(seed, size, 0).measure(calibration());
            above += told[rows / 8] * told[rows / 8];
            below += told[rows - 1 - rows / 8] * told[rows - 1 - rows / 8];
        }
        // The share that the whole picture has makes it a little less.
        assertEquals(2.8, Math.sqrt(below / above), 0.3);
    }

    @Test
    void nothingKnownGivesIndependentNoise() {
        float[] told = blocks(3, new float[rows], 2).measure(calibration());
        for (float x : told) {
            assertEquals(Math.sqrt(0.5 / 40), x, 1e-6);
        }
        assertTrue(told.length > 50);
    }
}
