package org.elasto.peers.spectral;

import org.apache.commons.math3.transform.DftNormalization;
import org.apache.commons.math3.transform.FastFourierTransformer;
import org.apache.commons.math3.transform.TransformType;
import org.elasto.api.ScanGeometry;
import org.elasto.peers.PeerTracker;

/** Correlates windows of one line each; both windows share one complex transform. */
final class SpectralCorrelationTracker extends PeerTracker {

    private final int lines;
    private final int samples;
    private final int window;
    private final int spacing;
    private final int rows;
    private final double[] re;
    private final double[] im;
    private final double[] crossRe;
    private final double[] crossIm;
    private final double[][] windows;
    private final double[][] cross;

    SpectralCorrelationTracker(SpectralCorrelationConfig config, ScanGeometry geometry) {
        super(
                config.input(),
                geometry,
                window(config, geometry) / 2,
                config.rowSamples(),
                rows(config, geometry),
                window(config, geometry));
        lines = geometry.lines();
        samples = geometry.samples();
        window = window(config, geometry);
        spacing = config.rowSamples();
        rows = rows(config, geometry);
        re = new double[window];
        im = new double[window];
        crossRe = new double[window];
        crossIm = new double[window];
        windows = new double[][] {re, im};
        cross = new double[][] {crossRe, crossIm};
    }

    private static int window(SpectralCorrelationConfig config, ScanGeometry geometry) {
        int window = Integer.highestOneBit(2 * config.windowSamples() - 1);
        if (window > geometry.samples()) {
            throw new IllegalArgumentException(
                    "window-samples is "
                            + config.windowSamples()
                            + "; a line has "
                            + geometry.samples());
        }
        return window;
    }

    private static int rows(SpectralCorrelationConfig config, ScanGeometry geometry) {
        return 1 + (geometry.samples() - window(config, geometry)) / config.rowSamples();
    }

    @Override
    protected void track(float[] from, float[] to, float[] shifts) {
        for (int line = 0; line < lines; line++) {
            for (int row = 0; row < rows; row++) {
                int at = line * samples + row * spacing;
                shifts[line * rows + row] = (float) shift(from, to, at);
            }
        }
    }

    private double shift(float[] from, float[] to, int at) {
        double meanFrom = 0;
        double meanTo = 0;
        for (int i = 0; i < window; i++) {
            meanFrom += from[at + i];
            meanTo += to[at + i];
        }
        meanFrom /= window;
        meanTo /= window;
        for (int i = 0; i < window; i++) {
            re[i] = from[at + i] - meanFrom;
            im[i] = to[at + i] - meanTo;
        }
        FastFourierTransformer.transformInPlace(
                windows, DftNormalization.STANDARD, TransformType.FORWARD);
        multiply();
        FastFourierTransformer.transformInPlace(
                cross, DftNormalization.STANDARD, TransformType.INVERSE);
        return peak();
    }

    /**
     * The conjugate spectrum of the first window times that of the second, both taken from the
     * transform Z of first + i second: {@code A = (Z[k] + Z*[-k]) / 2}, {@code B = (Z[k] - Z*[-k])
     * / 2i}.
     */
    private void multiply() {
        for (int k = 0; k < window; k++) {
            int mirrored = (window - k) & (window - 1);
            double aRe = re[k] + re[mirrored];
            double aIm = im[k] - im[mirrored];
            double bRe = im[k] + im[mirrored];
            double bIm = re[mirrored] - re[k];
            crossRe[k] = aRe * bRe + aIm * bIm;
            crossIm[k] = aRe * bIm - aIm * bRe;
        }
    }

    private double peak() {
        int best = 0;
        for (int i = 1; i < window; i++) {
            best = crossRe[i] > crossRe[best] ? i : best;
        }
        double before = crossRe[(best - 1) & (window - 1)];
        double after = crossRe[(best + 1) & (window - 1)];
        int lag = best > window / 2 ? best - window : best;
        return lag + parabola(before, crossRe[best], after);
    }
}
