package org.elasto.phantoms;

import org.elasto.api.ScanGeometry;

/**
 * The echo of one scatterer along a line: a cosine under a Gaussian envelope, {@code exp(-t^2 / (2
 * s^2)) cos(2 pi f0 t)}, tabulated at {@value #PHASES} sub-sample positions with linear
 * interpolation in between, which is exact to better than -100 dB. Immutable.
 */
final class Pulse {

    static final int PHASES = 256;

    /** Half the length in envelope deviations; what is cut off is 108 dB down. */
    private static final double REACH = 5;

    /** Full width at half height of a Gaussian, in deviations. */
    static final double HALF_HEIGHT_WIDTH = 2 * Math.sqrt(2 * Math.log(2));

    private final double envelopeDeviation;
    private final double centreFrequency;
    private final double soundSpeed;
    private final int half;
    private final int taps;
    private final float[] table;

    Pulse(ScanGeometry geometry, double fractionalBandwidth) {
        centreFrequency = geometry.centreFrequency();
        soundSpeed = geometry.soundSpeed();
        double spectrumDeviation = fractionalBandwidth * centreFrequency / HALF_HEIGHT_WIDTH;
        envelopeDeviation = 1 / (2 * Math.PI * spectrumDeviation);
        double fs = geometry.samplingFrequency();
        half = (int) Math.ceil(REACH * envelopeDeviation * fs);
        taps = 2 * half + 2;
        table = new float[(PHASES + 1) * taps];
        for (int p = 0; p <= PHASES; p++) {
            for (int j = 0; j < taps; j++) {
                double t = (j - half - (double) p / PHASES) / fs;
                table[p * taps + j] = (float) at(t);
            }
        }
    }

    /** Value at a time (s) from the pulse's middle. */
    double at(double t) {
        double r = t / envelopeDeviation;
        return Math.exp(-r * r / 2) * Math.cos(2 * Math.PI * centreFrequency * t);
    }

    /** Number of samples that one echo covers. */
    int taps() {
        return taps;
    }

    /** How many samples of an echo lie before the sample just above the scatterer. */
    int half() {
        return half;
    }

    /** Echo of a scatterer that lies a fraction of a sample, 0 to below 1, beyond sample half. */
    void sample(double fraction, float[] out) {
        double position = fraction * PHASES;
        int row = (int) position;
        float w = (float) (position - row);
        int first = row * taps;
        int second = first + taps;
        float[] from = table;
        for (int j = 0; j < taps; j++) {
            float a = from[first + j];
            out[j] = a + w * (from[second + j] - a);
        }
    }

    /** Integral of the squared echo over depth (m). */
    double energy() {
        double w = 2 * Math.PI * centreFrequency * envelopeDeviation;
        double overTime = envelopeDeviation * Math.sqrt(Math.PI) / 2 * (1 + Math.exp(-w * w));
        return soundSpeed / 2 * overTime;
    }

    /** Depth over which the envelope is above half its height (m): the axial resolution. */
    double axialWidth() {
        return HALF_HEIGHT_WIDTH * envelopeDeviation * soundSpeed / 2;
    }

    /** How far in depth an echo reaches to either side (m). */
    double axialReach() {
        return REACH * envelopeDeviation * soundSpeed / 2;
    }

    /** Share of the echo's power for each hertz at a positive frequency (1/Hz). */
    double powerDensity(double frequency) {
        double r = 2 * Math.PI * (frequency - centreFrequency) * envelopeDeviation;
        return 2 * Math.sqrt(Math.PI) * envelopeDeviation * Math.exp(-r * r);
    }

    /** Level of the spectrum at a frequency against that at the centre (dB). */
    double spectrumLevel(double frequency) {
        double r = 2 * Math.PI * (frequency - centreFrequency) * envelopeDeviation;
        return 20 * Math.log10(Math.E) * (-r * r / 2);
    }
}
