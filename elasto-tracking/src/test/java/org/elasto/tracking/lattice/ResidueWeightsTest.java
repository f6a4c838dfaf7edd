package org.elasto.tracking.lattice;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.elasto.tracking.shared.GaussianWindow;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The variance that the weights tell from what is left over, against that of noise which has been
 * through the windows, all sums written out. That a mean of correlated noise has the sum of its
 * covariances as its variance is elementary; the kinds of noise are made as moving averages.
 */
class ResidueWeightsTest {

    private static final int LINES = 400;
    private static final int ROWS = 400;

    /** Moving average of white noise, by taps along the line and across the lines. */
    private static double[][] noise(long seed, double[] along, double[] across) {
        Random random = new Random(seed);
        double[][] white = new double[LINES][ROWS];
        for (double[] line : white) {
            for (int row = 0; row < ROWS; row++) {
                line[row] = random.nextGaussian();
            }
        }
        return filtered(white, along, across);
    }

    /** On a torus: no ends. */
    private static double[][] filtered(double[][] x, double[] along, double[] across) {
        int lines = x.length;
        double[][] deep = new double[lines][ROWS];
        double[][] result = new double[lines][ROWS];
        for (int line = 0; line < lines; line++) {
            for (int row = 0; row < ROWS; row++) {
                for (int k = 0; k < along.length; k++) {
                    int from = Math.floorMod(row + k - along.length / 2, ROWS);
                    deep[line][row] += along[k] * x[line][from];
                }
            }
        }
        for (int line = 0; line < lines; line++) {
            for (int k = 0; k < across.length; k++) {
                double[] from = deep[Math.floorMod(line + k - across.length / 2, lines)];
                for (int row = 0; row < ROWS; row++) {
                    result[line][row] += across[k] * from[row];
                }
            }
        }
        return result;
    }

    private static double[] taps(GaussianWindow window) {
        double[] taps = new double[2 * window.halfWidth() + 1];
        for (int j = 0; j < taps.length; j++) {
            taps[j] = window.tap(j - window.halfWidth());
        }
        return taps;
    }

    private static double covariance(double[][] x, int a, int l) {
        double sum = 0;
        for (int line = 0; line < x.length; line++) {
            for (int row = 0; row < ROWS; row++) {
                sum += x[line][row] * x[(line + l) % x.length][(row + a) % ROWS];
            }
        }
        return sum / ((double) x.length * ROWS);
    }

    /** Told variance over that of the displacement. */
    private static double toldOverTrue(
            GaussianWindow along, GaussianWindow across, double[][] noise, int lags, int width) {
        double[][] once = filtered(noise, taps(along), taps(across));
        double[][] twice = filtered(once, taps(along), taps(across));
        double[][] left = new double[noise.length][ROWS];
        double[][] error = new double[noise.length][ROWS];
        for (int line = 0; line < noise.length; line++) {
            for (int row = 0; row < ROWS; row++) {
                left[line][row] = noise[line][row] - once[line][row];
                error[line][row] = 2 * once[line][row] - twice[line][row];
            }
        }
        double[][] weights = ResidueWeights.of(along, across, lags, width);
        double told = 0;
        for (int a = 0; a < weights.length; a++) {
            for (int l = 0; l < weights[a].length; l++) {
                told += weights[a][l] * covariance(left, a, l);
            }
        }
        return told / covariance(error, 0, 0);
    }

    private static double[] beam(double deviation) {
        double[] taps = new double[9];
        for (int j = 0; j < taps.length; j++) {
            taps[j] = Math.exp(-0.5 * Math.pow((j - 4) / deviation, 2));
        }
        return taps;
    }

    /** Beams of deviation 0.6 and 0.8 lines: neighbouring lines go together by 0.50 and 0.68. */
    @ParameterizedTest
    @CsvSource({
        "2.6, 1.5, 0, 0", "2.6, 1.5, 0.6, 0", "2.6, 1.5, 0.8, 0", "2.6, 1.5, 0, 0.3",
        "2.6, 1.5, 0.6, 0.3", "1.5, 1.5, 0, 0", "2.6, 2.3, 0.8, 0", "2.6, 1.0, 0, 0",
    })
    void varianceIsThatOfTheDisplacement(
            double along, double across, double beamDeviation, double derived) {
        double[] deep = {-derived, 1, -derived / 2};
        double[] wide = beamDeviation > 0 ? beam(beamDeviation) : new double[] {1};
        double told = 0;
        for (int seed = 1; seed <= 3; seed++) {
            told +=
                    toldOverTrue(
                                    new GaussianWindow(along, 60),
                                    new GaussianWindow(across, 60),
                                    noise(seed, deep, wide),
                                    ResidueWeights.LATERAL_LAGS,
                                    1)
                            / 3;
        }
        // 15 % of variance are 7 % of deviation.
        assertEquals(1, told, 0.15);
    }

    /** Blocks of two lines: their noise is the mean of both. */
    @ParameterizedTest
    @CsvSource({"2.6, 0.64, 0", "2.6, 0.64, 0.6", "2.6, 0.64, 0.8", "2.6, 1, 0.6"})
    void stripsOfTwoLines(double along, double across, double beamDeviation) {
        double[] wide = beamDeviation > 0 ? beam(beamDeviation) : new double[] {1};
        double told = 0;
        for (int seed = 1; seed <= 3; seed++) {
            double[][] lines = noise(seed, new double[] {1}, wide);
            double[][] strips = new double[LINES / 2][ROWS];
            for (int strip = 0; strip < LINES / 2; strip++) {
                for (int row = 0; row < ROWS; row++) {
                    strips[strip][row] = (lines[2 * strip][row] + lines[2 * strip + 1][row]) / 2;
                }
            }
            told +=
                    toldOverTrue(
                                    new GaussianWindow(along, 60),
                                    new GaussianWindow(across, 60),
                                    strips,
                                    ResidueWeights.LATERAL_LAGS,
                                    2)
                            / 3;
        }
        assertEquals(1, told, 0.15);
    }

    /** Where windows are a single line wide. */
    @ParameterizedTest
    @CsvSource({"2.6, 0", "2.6, 0.8", "4, 0"})
    void windowsOfOneLine(double along, double beamDeviation) {
        double[] wide = beamDeviation > 0 ? beam(beamDeviation) : new double[] {1};
        double told =
                toldOverTrue(
                        new GaussianWindow(along, 60),
                        new GaussianWindow(0, 60),
                        noise(9, new double[] {1}, wide),
                        1,
                        1);
        assertEquals(1, told, 0.2);
    }

    @ParameterizedTest
    @CsvSource({"2.6, 1.5, 4", "2.6, 1.5, 2", "0.9, 1.5, 4", "8, 4, 4"})
    void weightsDoNotAmplifyBeyondReason(double along, double across, int lags) {
        double[][] weights =
                ResidueWeights.of(
                        new GaussianWindow(along, 60), new GaussianWindow(across, 60), lags, 1);
        double sum = 0;
        for (int a = 0; a < weights.length; a++) {
            for (int l = 0; l < weights[a].length; l++) {
                sum += Math.abs(weights[a][l]);
                assertTrue(l < lags || weights[a][l] == 0, "lag " + l);
            }
        }
        // Ten thousand blocks tell a covariance within 1 % of the power, the weights' sum then a
        // variance, which is a quarter of it or so, within a quarter at the very worst.
        assertTrue(sum > 0 && sum < 6, "sum " + sum);
    }
}
