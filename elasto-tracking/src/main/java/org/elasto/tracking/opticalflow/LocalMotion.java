package org.elasto.tracking.opticalflow;

import java.util.Arrays;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.GaussianWindow;

/**
 * What a small window around each sample says about the motion that is still missing, and how much
 * it should be believed.
 *
 * <p>Of the two frames a and b, the second with its motion undone as far as it is known, the
 * window's complex correlation is {@code C = sum conj(a) b}, its first derivative for a sideways
 * shift of b {@code C' = sum (conj(a) bx - conj(ax) b) / 2}, its second {@code C'' = -sum conj(ax)
 * bx}, with x the derivative across the lines. The missing axial displacement is the phase of C.
 * The missing lateral one is where the frames, turned to the same phase, differ least: {@code Re(C'
 * conj(C)) / |C| - S} over the curvature of log C, with {@code S = sum Re(conj(bx) b - conj(ax) a)
 * / 2} for what grows brighter within the window. Without S it would be where |C| has its top, and
 * speckle that leaves the window on one side and enters on the other would add more error than the
 * noise (twice the error at 20 dB and a drift of a third of a line, measured). Noise that the two
 * frames do not share is in none of these sums on average.
 */
final class LocalMotion {

    /** Lateral curvature below which it is no longer believed, as a share of the frame's. */
    private static final float LEAST_CURVATURE = 0.3f;

    /**
     * Share of a lateral step that is taken: a central difference sees less than the whole of what
     * changes fast from line to line, and the full step would go too far.
     */
    private static final float GAIN = 0.7f;

    /** C, C' and -C'' (real and imaginary parts), and S. */
    private static final int PLANES = 7;

    /** Largest lateral change in one step, in lines. */
    private static final float LARGEST_SIDESTEP = 1f;

    /** Smallest weight of a datum; keeps the equations solvable where nothing is known. */
    private static final float LEAST_WEIGHT = 1e-4f;

    private final int lines;
    private final int length;
    private final GaussianWindow wideAlong;
    private final GaussianWindow wideAcross;
    private final GaussianWindow smallAlong;
    private final GaussianWindow smallAcross;
    private final Workers workers;

    /** C, C', -C'' and S in the local window, smoothed along the lines. */
    private final float[][] local = new float[PLANES][];

    /** Correlation and energies in the wide window, smoothed along the lines. */
    private final float[][] wide = new float[4][];

    private final Scratch[] scratch;
    private final double[] gradientEnergy;
    private final double[] energy;
    private final Workers.Task prepare = this::prepareLine;
    private final Workers.Task multiply = this::multiplyLine;
    private final Workers.Task conclude = this::concludeLine;

    private BasebandFrame a;
    private float[] bRe;
    private float[] bIm;
    private GaussianWindow along;
    private GaussianWindow across;
    private float radiansPerMetre;
    private float meanCurvature;
    private float[] axial;
    private float[] axialWeight;
    private float[] lateral;
    private float[] lateralWeight;

    /** Lines of one worker. */
    private static final class Scratch {
        private final float[][] padded = new float[PLANES][];
        private final float[][] sums = new float[PLANES + 4][];

        private Scratch(int length, int margin) {
            for (int i = 0; i < padded.length; i++) {
                padded[i] = new float[length + 2 * margin];
            }
            for (int i = 0; i < sums.length; i++) {
                sums[i] = new float[length];
            }
        }
    }

    /**
     * Memory for frames of a size.
     *
     * @param frame a frame of the kind that will be compared
     * @param wideAlong window along the lines over which energies are normalised
     * @param wideAcross the same across the lines
     * @param smallAlong window along the lines in which motion is measured
     * @param smallAcross the same across the lines
     * @param radiansPerMetre phase of the correlation for each metre of displacement
     * @param workers threads it may use
     */
    LocalMotion(
            BasebandFrame frame,
            GaussianWindow wideAlong,
            GaussianWindow wideAcross,
            GaussianWindow smallAlong,
            GaussianWindow smallAcross,
            double radiansPerMetre,
            Workers workers) {
        lines = frame.lines;
        length = frame.length;
        this.wideAlong = wideAlong;
        this.wideAcross = wideAcross;
        this.smallAlong = smallAlong;
        this.smallAcross = smallAcross;
        this.radiansPerMetre = (float) radiansPerMetre;
        this.workers = workers;
        for (int i = 0; i < local.length; i++) {
            local[i] = new float[lines * length];
        }
        for (int i = 0; i < wide.length; i++) {
            wide[i] = new float[lines * length];
        }
        scratch = new Scratch[workers.count()];
        for (int i = 0; i < scratch.length; i++) {
            scratch[i] = new Scratch(length, wideAlong.halfWidth());
        }
        gradientEnergy = new double[lines];
        energy = new double[lines];
    }

    /**
     * Prepares for a first frame.
     *
     * @param reference first frame
     */
    void prepare(BasebandFrame reference) {
        a = reference;
        workers.run(lines, prepare);
        double gradients = 0;
        double all = 0;
        for (int line = 1; line < lines - 1; line++) {
            gradients += gradientEnergy[line];
            all += energy[line];
        }
        meanCurvature = all > 0 && gradients > 0 ? (float) (gradients / all) : 1f;
    }

    private void prepareLine(int line, int worker) {
        float[] in = scratch[worker].padded[0];
        int margin = wideAlong.halfWidth();
        int at = line * a.stride + BasebandFrame.MARGIN;
        boolean middle = line >= 1 && line < lines - 1;
        double sum = 0;
        double gradients = 0;
        for (int n = 0; n < length; n++) {
            float re = a.re[at + n];
            float im = a.im[at + n];
            float e = re * re + im * im;
            in[margin + n] = e;
            sum += e;
            if (middle) {
                float dRe = 0.5f * (a.re[at + a.stride + n] - a.re[at - a.stride + n]);
                float dIm = 0.5f * (a.im[at + a.stride + n] - a.im[at - a.stride + n]);
                gradients += dRe * dRe + dIm * dIm;
            }
        }
        energy[line] = sum;
        gradientEnergy[line] = gradients;
        wideAlong.smooth(in, margin, wide[2], line * length, length);
    }

    /**
     * Measures what is missing and adds it to the motion known so far.
     *
     * @param bRe second frame with its motion undone, {@code line * length + n}, real part
     * @param bIm its imaginary part
     * @param coarse whether to measure in the wide window instead of the small one
     * @param axial axial displacement (m) that was undone; receives the new one
     * @param axialWeight receives its weight, about 1 where the echoes match
     * @param lateral lateral displacement in lines that was undone; receives the new one; null to
     *     leave that out
     * @param lateralWeight receives its weight
     */
    void measure(
            float[] bRe,
            float[] bIm,
            boolean coarse,
            float[] axial,
            float[] axialWeight,
            float[] lateral,
            float[] lateralWeight) {
        this.bRe = bRe;
        this.bIm = bIm;
        this.axial = axial;
        this.axialWeight = axialWeight;
        this.lateral = lateral;
        this.lateralWeight = lateralWeight;
        along = coarse ? wideAlong : smallAlong;
        across = coarse ? wideAcross : smallAcross;
        workers.run(lines, multiply);
        workers.run(lines, conclude);
        this.bRe = null;
        this.bIm = null;
        this.axial = null;
        this.axialWeight = null;
        this.lateral = null;
        this.lateralWeight = null;
    }

    private void multiplyLine(int line, int worker) {
        float[][] p = scratch[worker].padded;
        int margin = wideAlong.halfWidth();
        int to = line * length;
        products(line, p[0], p[1], p[2], margin);
        along.smooth(p[0], margin, local[0], to, length);
        along.smooth(p[1], margin, local[1], to, length);
        wideAlong.smooth(p[0], margin, wide[0], to, length);
        wideAlong.smooth(p[1], margin, wide[1], to, length);
        wideAlong.smooth(p[2], margin, wide[3], to, length);
        if (lateral == null) {
            return;
        }
        if (line >= 1 && line < lines - 1) {
            gradientProducts(line, p, margin);
            for (int i = 2; i < PLANES; i++) {
                along.smooth(p[i], margin, local[i], to, length);
            }
        } else {
            for (int i = 2; i < PLANES; i++) {
                Arrays.fill(local[i], to, to + length, 0f);
            }
        }
    }

    private void products(int line, float[] cRe, float[] cIm, float[] energyB, int margin) {
        int at = line * a.stride + BasebandFrame.MARGIN;
        int to = line * length;
        float[] re = a.re;
        float[] im = a.im;
        for (int n = 0; n < length; n++) {
            float ar = re[at + n];
            float ai = im[at + n];
            float br = bRe[to + n];
            float bi = bIm[to + n];
            cRe[margin + n] = ar * br + ai * bi;
            cIm[margin + n] = ar * bi - ai * br;
            energyB[margin + n] = br * br + bi * bi;
        }
    }

    private void gradientProducts(int line, float[][] out, int margin) {
        int stride = a.stride;
        int at = line * stride + BasebandFrame.MARGIN;
        int to = line * length;
        float[] re = a.re;
        float[] im = a.im;
        float[] gRe = out[2];
        float[] gIm = out[3];
        float[] kRe = out[4];
        float[] kIm = out[5];
        float[] brighter = out[6];
        for (int n = 0; n < length; n++) {
            float ar = re[at + n];
            float ai = im[at + n];
            float br = bRe[to + n];
            float bi = bIm[to + n];
            float axr = 0.5f * (re[at + stride + n] - re[at - stride + n]);
            float axi = 0.5f * (im[at + stride + n] - im[at - stride + n]);
            float bxr = 0.5f * (bRe[to + length + n] - bRe[to - length + n]);
            float bxi = 0.5f * (bIm[to + length + n] - bIm[to - length + n]);
            gRe[margin + n] = 0.5f * (ar * bxr + ai * bxi - axr * br - axi * bi);
            gIm[margin + n] = 0.5f * (ar * bxi - ai * bxr - axr * bi + axi * br);
            brighter[margin + n] = 0.5f * (bxr * br + bxi * bi - axr * ar - axi * ai);
            kRe[margin + n] = axr * bxr + axi * bxi;
            kIm[margin + n] = axr * bxi - axi * bxr;
        }
    }

    private void concludeLine(int line, int worker) {
        float[][] s = scratch[worker].sums;
        int planes = lateral == null ? 2 : PLANES;
        for (int i = 0; i < planes; i++) {
            across.smoothAcross(local[i], length, lines, line, length, s[i]);
        }
        for (int i = 0; i < 4; i++) {
            wideAcross.smoothAcross(wide[i], length, lines, line, length, s[PLANES + i]);
        }
        axialData(line, s);
        if (lateral != null) {
            lateralData(line, s);
        }
    }

    private void axialData(int line, float[][] s) {
        int to = line * length;
        float perMetre = 1 / radiansPerMetre;
        for (int n = 0; n < length; n++) {
            float re = s[0][n];
            float im = s[1][n];
            axial[to + n] -= perMetre * (float) Math.atan2(im, re);
            float energies = s[PLANES + 2][n] * s[PLANES + 3][n];
            float weight = LEAST_WEIGHT;
            if (energies > 0) {
                float wideRe = s[PLANES][n];
                float wideIm = s[PLANES + 1][n];
                float r2 = (wideRe * wideRe + wideIm * wideIm) / energies;
                // What does not match must not pull on what does.
                weight += (float) Math.sqrt((re * re + im * im) / energies) * Math.min(1f, r2 * r2);
            }
            axialWeight[to + n] = weight;
        }
    }

    private void lateralData(int line, float[][] s) {
        int to = line * length;
        float least = LEAST_CURVATURE * meanCurvature;
        for (int n = 0; n < length; n++) {
            float re = s[0][n];
            float im = s[1][n];
            float power = re * re + im * im;
            float slope = 0;
            float curvature = least;
            if (power > 0) {
                float magnitude = (float) Math.sqrt(power);
                slope = (re * s[2][n] + im * s[3][n]) / power - s[6][n] / magnitude;
                float around = (re * s[4][n] + im * s[5][n]) / power + slope * slope;
                curvature = Math.max(least, around);
            }
            float step = GAIN * slope / curvature;
            lateral[to + n] += Math.max(-LARGEST_SIDESTEP, Math.min(LARGEST_SIDESTEP, step));
            lateralWeight[to + n] = axialWeight[to + n] * Math.min(4f, curvature / meanCurvature);
        }
    }
}
