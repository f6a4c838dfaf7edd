package org.elasto.tracking.seedgrowth;

import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.FractionalShift;

/**
 * Matches a rectangular window of some samples and lines by complex correlation. A few Gauss-Newton
 * steps find axial displacement and its gradient from the phase between the frames along the line,
 * and lateral displacement from how the echo changes across the lines, all three together.
 */
final class CorrelationMatcher implements LocalMatcher {

    /** Greatest gradient of displacement that is believed. */
    private static final float GREATEST_GRADIENT = 0.15f;

    /** Greatest change of lateral displacement in a step, in lines. */
    private static final float LATERAL_STEP = 1f;

    private final int halfSamples;
    private final int halfLines;
    private final int steps;
    private final double wavelength;
    private final float[] between;
    private final float[] bRe;
    private final float[] bIm;
    private final double[] normal = new double[6];
    private final double[] right = new double[3];

    /** Correlation of the window as last warped: real, imaginary, and the two energies. */
    private double productRe;

    private double productIm;
    private double energyA;
    private double energyB;

    CorrelationMatcher(int halfSamples, int halfLines, int steps, double wavelength) {
        this.halfSamples = halfSamples;
        this.halfLines = halfLines;
        this.steps = steps;
        this.wavelength = wavelength;
        int samples = 2 * halfSamples + 1;
        between = new float[4 * samples + 40];
        bRe = new float[samples * (2 * halfLines + 1)];
        bIm = new float[samples * (2 * halfLines + 1)];
    }

    @Override
    public void match(BasebandFrame a, BasebandFrame b, int line, int sample, Match guess) {
        int firstLine = Math.max(0, line - halfLines);
        int lines = Math.min(a.lines - 1, line + halfLines) - firstLine + 1;
        int first = Math.max(0, sample - halfSamples);
        int samples = Math.min(a.length - 1, sample + halfSamples) - first + 1;
        double metresPerRadian = wavelength / (4 * Math.PI);
        float most = GREATEST_GRADIENT * (float) a.spacing;
        for (int step = 0; ; step++) {
            FractionalShift.warpWindow(
                    b,
                    firstLine,
                    lines,
                    first,
                    samples,
                    guess.axial + (first - sample) * guess.gradient,
                    guess.gradient,
                    guess.lateral,
                    wavelength,
                    between,
                    bRe,
                    bIm);
            correlate(a, firstLine, lines, first, samples);
            if (step == steps) {
                break;
            }
            setUp(a, firstLine, lines, first, samples, sample);
            if (!solve()) {
                break;
            }
            guess.axial += (float) (metresPerRadian * right[0]);
            guess.gradient += (float) (metresPerRadian * right[1]);
            guess.gradient = Math.max(-most, Math.min(most, guess.gradient));
            guess.lateral += (float) Math.max(-LATERAL_STEP, Math.min(LATERAL_STEP, right[2]));
        }
        double energies = energyA * energyB;
        guess.quality =
                energies > 0
                        ? (float)
                                Math.min(1, Math.hypot(productRe, productIm) / Math.sqrt(energies))
                        : 0f;
    }

    private void correlate(BasebandFrame a, int firstLine, int lines, int first, int samples) {
        double re = 0;
        double im = 0;
        double e1 = 0;
        double e2 = 0;
        for (int l = 0; l < lines; l++) {
            int at = (firstLine + l) * a.stride + BasebandFrame.MARGIN + first;
            int to = l * samples;
            for (int n = 0; n < samples; n++) {
                float ar = a.re[at + n];
                float ai = a.im[at + n];
                float br = bRe[to + n];
                float bi = bIm[to + n];
                re += ar * br + ai * bi;
                im += ar * bi - ai * br;
                e1 += ar * ar + ai * ai;
                e2 += br * br + bi * bi;
            }
        }
        productRe = re;
        productIm = im;
        energyA = e1;
        energyB = e2;
    }

    /**
     * Normal equations of phase, phase per sample and lateral displacement. The common phase, which
     * may be large, is taken out of the second window first and added to the answer.
     */
    private void setUp(
            BasebandFrame a, int firstLine, int lines, int first, int samples, int sample) {
        java.util.Arrays.fill(normal, 0);
        java.util.Arrays.fill(right, 0);
        double size = Math.hypot(productRe, productIm);
        float c = size > 0 ? (float) (productRe / size) : 1f;
        float s = size > 0 ? (float) (-productIm / size) : 0f;
        for (int i = 0; i < lines * samples; i++) {
            float re = bRe[i];
            bRe[i] = re * c - bIm[i] * s;
            bIm[i] = re * s + bIm[i] * c;
        }
        for (int l = 0; l < lines; l++) {
            int before = Math.max(0, l - 1);
            int after = Math.min(lines - 1, l + 1);
            int at = (firstLine + l) * a.stride + BasebandFrame.MARGIN + first;
            int atBefore = at + (before - l) * a.stride;
            int atAfter = at + (after - l) * a.stride;
            float scale = after > before ? 0.5f / (after - before) : 0f;
            for (int n = 0; n < samples; n++) {
                int to = l * samples + n;
                int toBefore = before * samples + n;
                int toAfter = after * samples + n;
                float er = a.re[at + n] - bRe[to];
                float ei = a.im[at + n] - bIm[to];
                float gr = -0.5f * (a.im[at + n] + bIm[to]);
                float gi = 0.5f * (a.re[at + n] + bRe[to]);
                float hr =
                        scale
                                * (a.re[atAfter + n]
                                        + bRe[toAfter]
                                        - a.re[atBefore + n]
                                        - bRe[toBefore]);
                float hi =
                        scale
                                * (a.im[atAfter + n]
                                        + bIm[toAfter]
                                        - a.im[atBefore + n]
                                        - bIm[toBefore]);
                float x = first + n - sample;
                float gg = gr * gr + gi * gi;
                float gh = gr * hr + gi * hi;
                float ge = gr * er + gi * ei;
                normal[0] += gg;
                normal[1] += x * gg;
                normal[2] += x * x * gg;
                normal[3] += gh;
                normal[4] += x * gh;
                normal[5] += hr * hr + hi * hi;
                right[0] += ge;
                right[1] += x * ge;
                right[2] += hr * er + hi * ei;
            }
        }
        // A little resistance keeps gradient and lateral displacement where nothing tells them.
        normal[2] += 0.02 * normal[0];
        normal[5] += 0.005 * normal[0];
    }

    /** Solves the three equations by Cholesky's decomposition; false where they say nothing. */
    private boolean solve() {
        double d0 = normal[0];
        if (!(d0 > 0)) {
            return false;
        }
        double l1 = normal[1] / d0;
        double l3 = normal[3] / d0;
        double d2 = normal[2] - l1 * normal[1];
        double l4 = (normal[4] - l1 * normal[3]) / d2;
        double d5 = normal[5] - l3 * normal[3] - l4 * l4 * d2;
        if (!(d2 > 0) || !(d5 > 0)) {
            return false;
        }
        double y1 = right[1] - l1 * right[0];
        double y2 = right[2] - l3 * right[0] - l4 * y1;
        right[2] = y2 / d5;
        right[1] = y1 / d2 - l4 * right[2];
        right[0] = right[0] / d0 - l1 * right[1] - l3 * right[2] - Math.atan2(productIm, productRe);
        return true;
    }
}
