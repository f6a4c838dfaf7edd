package org.elasto.tracking.dynamicprogramming;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.phantoms.ShiftedNoise;
import org.elasto.tracking.shared.BasebandFrame;
import org.junit.jupiter.api.Test;

/** The likelihood of lags against a plainly written correlation in double precision. */
class LagLikelihoodTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(11, 500, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    private static final double BAND = 6e6;

    private static BasebandFrame load(RfFrame rf) {
        BasebandFrame frame = new BasebandFrame(GEOMETRY, BAND, 4, Workers.sequential());
        frame.load(rf);
        return frame;
    }

    private static double[] at(BasebandFrame f, int line, int n) {
        if (n < 0 || n >= f.length) {
            return new double[2];
        }
        int i = line * f.stride + BasebandFrame.MARGIN + n;
        return new double[] {f.re[i], f.im[i]};
    }

    private static double plainCoherence2(
            BasebandFrame a, BasebandFrame b, int[] lines, int[] samples, int lag, int across) {
        double re = 0;
        double im = 0;
        double e1 = 0;
        double e2 = 0;
        for (int line = lines[0]; line < lines[1]; line++) {
            if (line + across < 0 || line + across >= a.lines) {
                continue;
            }
            for (int n = samples[0]; n < samples[1]; n++) {
                double[] x = at(a, line, n);
                double[] y = at(b, line + across, n + lag);
                re += x[0] * y[0] + x[1] * y[1];
                im += x[0] * y[1] - x[1] * y[0];
                e1 += x[0] * x[0] + x[1] * x[1];
                e2 += y[0] * y[0] + y[1] * y[1];
            }
        }
        return e1 * e2 > 0 ? (re * re + im * im) / (e1 * e2) : 0;
    }

    @Test
    void everyLagOfEveryCellIsThatOfThePlainCorrelation() {
        Random random = new Random(3);
        float[] x = new float[11 * 500];
        float[] y = new float[11 * 500];
        for (int i = 0; i < x.length; i++) {
            x[i] = (float) random.nextGaussian();
            y[i] = (float) random.nextGaussian();
        }
        BasebandFrame a = load(RfFrame.of(GEOMETRY, x));
        BasebandFrame b = load(RfFrame.of(GEOMETRY, y));
        LagLikelihood likelihood =
                new LagLikelihood(GEOMETRY, a, BAND, 1.6e-3, 0.6e-3, Workers.sequential());
        likelihood.measure(a, b);
        int axial = likelihood.axialLags;
        int length = likelihood.grid.sampleStep();
        int width = likelihood.columnLines();
        assertEquals(5, likelihood.lateralLags);
        int rows = likelihood.grid.rows();
        int columns = likelihood.grid.columns();
        // The scale of the log-likelihood is one number for all lags; the first shows it.
        double scale = Double.NaN;
        int compared = 0;
        for (int c = 0; c < columns; c++) {
            int[] lines = {c * width, c == columns - 1 ? 11 : (c + 1) * width};
            for (int r = 0; r < rows; r++) {
                int last = Math.min(r + 1, rows - 1);
                int[] samples = {r * length, last == rows - 1 ? a.length : (last + 1) * length};
                for (int lag = 0; lag < likelihood.lags; lag++) {
                    double plain =
                            -Math.log(
                                    1
                                            - plainCoherence2(
                                                    a,
                                                    b,
                                                    lines,
                                                    samples,
                                                    lag % axial - axial / 2,
                                                    lag / axial - 2));
                    double seen = likelihood.likelihood[(c * rows + r) * likelihood.lags + lag];
                    if (Double.isNaN(scale) && plain > 0.01) {
                        scale = seen / plain;
                    }
                    if (!Double.isNaN(scale)) {
                        assertEquals(scale * plain, seen, 1e-3 * scale * plain + 1e-3);
                        compared++;
                    }
                }
            }
        }
        assertTrue(compared > 10000, "compared " + compared);
    }

    @Test
    void aLagBecomesAFractionByThePhase() {
        double shift = 143.7e-6;
        ShiftedNoise.Pair pair =
                new ShiftedNoise(GEOMETRY, 0.6, Double.POSITIVE_INFINITY, 1).make(shift, 4);
        BasebandFrame a = load(pair.reference());
        BasebandFrame b = load(pair.moved());
        LagLikelihood likelihood =
                new LagLikelihood(GEOMETRY, a, BAND, 1e-3, 0.3e-3, Workers.sequential());
        likelihood.measure(a, b);
        int rows = likelihood.grid.rows();
        for (int r = 1; r < rows - 2; r++) {
            int at = (rows + r) * likelihood.lags;
            int best = 0;
            for (int lag = 1; lag < likelihood.lags; lag++) {
                if (likelihood.likelihood[at + lag] > likelihood.likelihood[at + best]) {
                    best = lag;
                }
            }
            // A window of a millimetre errs by some micrometres: its edges hold what came in.
            assertEquals(shift, likelihood.axialDisplacement(1, r, best, 0), 5e-6);
            assertEquals(0, likelihood.lateralDisplacement(1, r, best), 0.1);
        }
    }
}
