package org.elasto.tracking.correlation;

import java.util.Arrays;
import org.elasto.api.ScanGeometry;
import org.elasto.tracking.shared.SubsamplePeak;

/**
 * Normalised cross-correlation of windows along one line of two frames, at the full sampling rate
 * of the band-limited RF signal. Workspace of one worker; a call allocates nothing.
 */
final class LineCorrelator {

    /** How far the peak is sought from where the coarse search put it, in samples. */
    private final int reach;

    private final int samples;
    private final int halfWindow;
    private final Peak peak;
    private final float[] turnRe;
    private final float[] turnIm;
    private final float[] aRe;
    private final float[] aIm;
    private final float[] bRe;
    private final float[] bIm;

    /** Sums of squares up to each sample, for the energy of any window. */
    private final double[] energyA;

    private final double[] energyB;
    private final double[] around = new double[2 * QuinticSpline.SIDE + 1];
    private final QuinticSpline spline = new QuinticSpline();

    LineCorrelator(ScanGeometry geometry, int halfWindow, Peak peak) {
        this.halfWindow = halfWindow;
        this.peak = peak;
        samples = geometry.samples();
        double step = geometry.centreFrequency() / geometry.samplingFrequency();
        reach = Math.max(1, (int) Math.floor(0.4 / step));
        turnRe = new float[samples];
        turnIm = new float[samples];
        for (int n = 0; n < samples; n++) {
            double angle = 2 * Math.PI * Math.IEEEremainder(step * n, 1);
            turnRe[n] = (float) Math.cos(angle);
            turnIm[n] = (float) Math.sin(angle);
        }
        aRe = new float[samples];
        aIm = new float[samples];
        bRe = new float[samples];
        bIm = new float[samples];
        energyA = new double[samples + 1];
        energyB = new double[samples + 1];
    }

    /**
     * Takes a line of both frames as complex baseband at the full sampling rate.
     *
     * @param aBaseRe real part of the first line
     * @param aBaseIm its imaginary part
     * @param aAt index of its first sample
     * @param bBaseRe real part of the second line
     * @param bBaseIm its imaginary part
     * @param bAt index of its first sample
     */
    void load(
            float[] aBaseRe, float[] aBaseIm, int aAt, float[] bBaseRe, float[] bBaseIm, int bAt) {
        analyticSignal(aBaseRe, aBaseIm, aAt, aRe, aIm);
        analyticSignal(bBaseRe, bBaseIm, bAt, bRe, bIm);
        sumSquares();
    }

    /** Takes two real lines as they are. */
    void load(float[] reference, float[] moved) {
        System.arraycopy(reference, 0, aRe, 0, samples);
        System.arraycopy(moved, 0, bRe, 0, samples);
        Arrays.fill(aIm, 0f);
        Arrays.fill(bIm, 0f);
        sumSquares();
    }

    private void analyticSignal(float[] re, float[] im, int at, float[] toRe, float[] toIm) {
        for (int n = 0; n < samples; n++) {
            toRe[n] = re[at + n] * turnRe[n] - im[at + n] * turnIm[n];
            toIm[n] = re[at + n] * turnIm[n] + im[at + n] * turnRe[n];
        }
    }

    private void sumSquares() {
        for (int n = 0; n < samples; n++) {
            energyA[n + 1] = energyA[n] + (double) aRe[n] * aRe[n] + (double) aIm[n] * aIm[n];
            energyB[n + 1] = energyB[n] + (double) bRe[n] * bRe[n] + (double) bIm[n] * bIm[n];
        }
    }

    /**
     * Displacement of the window around a sample.
     *
     * @param middle sample in the middle of the window
     * @param start lag from which the peak is sought
     * @return displacement in samples, NaN where window or lags do not fit into the line
     */
    double displacement(int middle, int start) {
        int side = peak == Peak.SPLINE ? QuinticSpline.SIDE : 1;
        int firstLag = start - reach - side;
        int lastLag = start + reach + side;
        if (middle - halfWindow + Math.min(0, firstLag) < 0
                || middle + halfWindow + Math.max(0, lastLag) >= samples) {
            return Double.NaN;
        }
        int best = start;
        double greatest = -2;
        for (int lag = start - reach; lag <= start + reach; lag++) {
            double r = correlation(middle, lag);
            if (r > greatest) {
                greatest = r;
                best = lag;
            }
        }
        for (int k = -side; k <= side; k++) {
            around[side + k] = correlation(middle, best + k);
        }
        double before = around[side - 1];
        double after = around[side + 1];
        return best
                + switch (peak) {
                    case PARABOLA -> SubsamplePeak.parabola(before, greatest, after);
                    case COSINE -> SubsamplePeak.cosine(before, greatest, after);
                    case SPLINE ->
                            spline.maximum(around, SubsamplePeak.cosine(before, greatest, after));
                };
    }

    /** Normalised correlation of the window around a sample with the second line at a lag. */
    double correlation(int middle, int lag) {
        int first = middle - halfWindow;
        int end = middle + halfWindow + 1;
        double energies =
                (energyA[end] - energyA[first]) * (energyB[end + lag] - energyB[first + lag]);
        if (!(energies > 0)) {
            return 0;
        }
        int n = end - first;
        return (dot(aRe, first, bRe, first + lag, n) + dot(aIm, first, bIm, first + lag, n))
                / Math.sqrt(energies);
    }

    private static float dot(float[] x, int from, float[] y, int to, int n) {
        float s0 = 0;
        float s1 = 0;
        float s2 = 0;
        float s3 = 0;
        int k = 0;
        for (; k + 3 < n; k += 4) {
            s0 += x[from + k] * y[to + k];
            s1 += x[from + k + 1] * y[to + k + 1];
            s2 += x[from + k + 2] * y[to + k + 2];
            s3 += x[from + k + 3] * y[to + k + 3];
        }
        for (; k < n; k++) {
            s0 += x[from + k] * y[to + k];
        }
        return (s0 + s1) + (s2 + s3);
    }
}
