package org.elasto.tracking.shared;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.junit.jupiter.api.Test;

/**
 * Predicted deviations against those seen in simulated echoes, with windowed sums written out. The
 * phase's variance (1 - r^2) / (2 r^2 N) is the limit of Walker and Trahey, IEEE Trans UFFC
 * 42(2):301-308, 1995, for a narrow band.
 */
class ErrorModelTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(60, 2400, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private final GaussianWindow along = GaussianWindow.ofLength(20, 600);
    private final GaussianWindow across = GaussianWindow.ofLength(5, 60);
    private final BasebandFrame a = new BasebandFrame(GEOMETRY, 6e6, 4, Workers.sequential());
    private final int length = a.length;
    private final float[] bRe = new float[a.lines * length];
    private final float[] bIm = new float[a.lines * length];

    /** Complex Gaussian noise, smoothed by three taps in depth and by given taps across. */
    private double[] noise(Random random, double[] tapsAcross) {
        int lines = a.lines;
        double[] white = new double[2 * (lines + 8) * (length + 2)];
        for (int i = 0; i < white.length; i++) {
            white[i] = random.nextGaussian();
        }
        double[] out = new double[2 * lines * length];
        double power = 0;
        for (int line = 0; line < lines; line++) {
            for (int n = 0; n < length; n++) {
                for (int part = 0; part < 2; part++) {
                    double sum = 0;
                    for (int l = 0; l < tapsAcross.length; l++) {
                        for (int k = 0; k < 3; k++) {
                            int at = 2 * ((line + l) * (length + 2) + n + k) + part;
                            sum += tapsAcross[l] * (k == 1 ? 1 : 0.5) * white[at];
                        }
                    }
                    out[2 * (line * length + n) + part] = sum;
                    power += sum * sum;
                }
            }
        }
        double scale = 1 / Math.sqrt(power / (lines * length));
        for (int i = 0; i < out.length; i++) {
            out[i] *= scale;
        }
        return out;
    }

    /** Frame a and frame b that differ by noise of a level; then deviations in their phase. */
    private void fill(long seed, double level, boolean noiseLikeEcho) {
        Random random = new Random(seed);
        double[] beam = {0.135, 0.607, 1, 0.607, 0.135};
        double[] echo = noise(random, beam);
        double[] one = noise(random, noiseLikeEcho ? beam : new double[] {1});
        double[] two = noise(random, noiseLikeEcho ? beam : new double[] {1});
        for (int line = 0; line < a.lines; line++) {
            for (int n = 0; n < length; n++) {
                int i = line * length + n;
                int at = line * a.stride + BasebandFrame.MARGIN + n;
                a.re[at] = (float) (echo[2 * i] + level * one[2 * i]);
                a.im[at] = (float) (echo[2 * i + 1] + level * one[2 * i + 1]);
                bRe[i] = (float) (echo[2 * i] + level * two[2 * i]);
                bIm[i] = (float) (echo[2 * i + 1] + level * two[2 * i + 1]);
            }
        }
    }

    /**
     * Root mean square of seen phase over predicted deviation, over windows that do not overlap.
     */
    private double seenOverPredicted(double level, boolean noiseLikeEcho, boolean spoilEnd) {
        double squares = 0;
        int count = 0;
        for (int trial = 0; trial < 4; trial++) {
            fill(100 + trial, level, noiseLikeEcho);
            for (int i = 0; spoilEnd && i < a.lines; i++) {
                bRe[i * length + length - 1] = 0;
                bIm[i * length + length - 1] = 0;
            }
            float[] ea = new float[bRe.length];
            float[] eb = new float[bRe.length];
            float[] re = new float[bRe.length];
            float[] im = new float[bRe.length];
            WindowScratch s = WindowScratch.forWorkers(Workers.sequential(), length, along)[0];
            for (int line = 0; line < a.lines; line++) {
                s.correlateAlong(along, a, line, bRe, bIm, re, im, eb);
                s.energyAlong(along, a, line, ea);
            }
            ErrorModel model = new ErrorModel(along, across);
            model.measure(a, bRe, bIm, ea, eb, re);
            for (int line = 8; line < a.lines - 8; line += 12) {
                for (int n = 30; n < length - 30; n += 30) {
                    double[] r = correlate(line, n);
                    double r2 = (r[0] * r[0] + r[1] * r[1]) / (r[2] * r[3]);
                    double z = Math.atan2(r[1], r[0]) / model.phaseDeviation(r2);
                    squares += z * z;
                    count++;
                }
            }
        }
        assertTrue(count > 250, "compared " + count);
        return Math.sqrt(squares / count);
    }

    private double[] correlate(int line, int n) {
        double[] sums = new double[4];
        for (int l = -across.halfWidth(); l <= across.halfWidth(); l++) {
            for (int k = -along.halfWidth(); k <= along.halfWidth(); k++) {
                int m = line + l;
                int i = n + k;
                if (m < 0 || m >= a.lines || i < 0 || i >= length) {
                    continue;
                }
                double w = (double) across.tap(l) * along.tap(k);
                int at = m * a.stride + BasebandFrame.MARGIN + i;
                int b = m * length + i;
                sums[0] += w * (a.re[at] * bRe[b] + a.im[at] * bIm[b]);
                sums[1] += w * (a.re[at] * bIm[b] - a.im[at] * bRe[b]);
                sums[2] += w * (a.re[at] * a.re[at] + a.im[at] * a.im[at]);
                sums[3] += w * (bRe[b] * bRe[b] + bIm[b] * bIm[b]);
            }
        }
        return sums;
    }

    @Test
    void phaseDeviationIsWhatIsSeen() {
        // 1 / sqrt(2 * 260) is 4.4 %: three of them either way.
        assertEquals(1, seenOverPredicted(0.1, false, false), 0.13);
        assertEquals(1, seenOverPredicted(0.5, false, false), 0.13);
        assertEquals(1, seenOverPredicted(0.1, true, false), 0.13);
        assertEquals(1, seenOverPredicted(0.5, true, false), 0.13);
    }

    /** One sample without a match on each line must not speak for all the others. */
    @Test
    void endsOfLinesDoNotSpoilThePrediction() {
        assertEquals(1, seenOverPredicted(0.03, false, true), 0.13);
    }
}
