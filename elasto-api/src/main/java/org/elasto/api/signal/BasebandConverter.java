package org.elasto.api.signal;

import java.util.Arrays;
import org.elasto.api.Check;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;

/**
 * Turns a line of RF into complex baseband: the analytic signal, band-limited, shifted down by the
 * centre frequency, and thinned out.
 *
 * <p>Sample {@code k} of the result belongs to RF sample {@code k * decimation} of the line; the
 * filter's delay is taken out. Its magnitude is the envelope of the band-limited echo. With x the
 * RF line, f the centre frequency, fs the sampling frequency, D the decimation and h a symmetric
 * low-pass of unit gain, {@code y[k] = 2 sum over j of h[j] x[n] exp(-2 pi i f n / fs)} with {@code
 * n = k D + j}, so that tissue that moves by d away from the probe turns the phase by -4&pi;
 * f<sub>0</sub> d / c. The low-pass is a Kaiser-windowed sinc (Kaiser, 1974, as given in the
 * handbooks of digital filters) with half its gain at {@code bandwidth / 2} and about 60 dB of
 * stop-band attenuation.
 *
 * <p>Samples that are NaN or infinite count as 0 and are reported as flawed; so are clipped ones,
 * which keep their value.
 *
 * <p>Owns its workspace: one thread at a time. A call allocates nothing.
 */
public final class BasebandConverter {

    private static final double STOP_BAND_DB = 60;

    private final ScanGeometry geometry;
    private final int decimation;
    private final int length;
    private final int halfTaps;
    private final float[] tapsRe;
    private final float[] tapsIm;
    private final float[] turnRe;
    private final float[] turnIm;
    private final float[] raw;
    private final float[][] phases;

    /**
     * Makes a converter.
     *
     * @param geometry geometry of the frames
     * @param bandwidth width of the band that is kept, around the centre frequency (Hz): greater
     *     than 0, and at most twice the centre frequency
     * @param decimation RF samples for each baseband sample, at least 1; the baseband's sampling
     *     frequency must be greater than the bandwidth
     * @throws IllegalArgumentException if bandwidth and decimation do not fit the geometry
     */
    public BasebandConverter(ScanGeometry geometry, double bandwidth, int decimation) {
        this.geometry = geometry;
        this.decimation = Check.range("decimation", decimation, 1, 1024);
        Check.positive("bandwidth", bandwidth, "Hz");
        Check.range("bandwidth", bandwidth, 0, 2 * geometry.centreFrequency(), "Hz");
        double fs = geometry.samplingFrequency();
        if (bandwidth >= fs / decimation) {
            throw new IllegalArgumentException(
                    "bandwidth is "
                            + bandwidth
                            + " Hz; it must be below the baseband's sampling"
                            + " frequency of "
                            + fs / decimation
                            + " Hz");
        }
        length = (geometry.samples() + decimation - 1) / decimation;

        // The transition may reach as far as its alias stays out of the band that is kept, but not
        // so far that much noise gets in beside the band.
        double transition = Math.min(0.3 * bandwidth, fs / decimation - bandwidth);
        double[] h = lowPass(bandwidth / 2 / fs, transition / fs);
        halfTaps = h.length / 2;
        tapsRe = new float[h.length];
        tapsIm = new float[h.length];
        double step = 2 * Math.PI * geometry.centreFrequency() / fs;
        for (int j = 0; j < h.length; j++) {
            double angle = -step * (j - halfTaps);
            tapsRe[j] = (float) (2 * h[j] * Math.cos(angle));
            tapsIm[j] = (float) (2 * h[j] * Math.sin(angle));
        }
        turnRe = new float[length];
        turnIm = new float[length];
        for (int k = 0; k < length; k++) {
            double angle = -Math.IEEEremainder(step * k * decimation, 2 * Math.PI);
            turnRe[k] = (float) Math.cos(angle);
            turnIm[k] = (float) Math.sin(angle);
        }
        raw = new float[geometry.samples()];
        int perPhase = length + (h.length + decimation - 1) / decimation + 1;
        phases = new float[decimation][perPhase];
    }

    /**
     * The strongest decimation that keeps the baseband well sampled: its sampling frequency at
     * least 1.6 times the bandwidth.
     *
     * @param geometry geometry of the frames
     * @param bandwidth width of the band that is kept (Hz)
     * @return decimation, at least 1
     */
    public static int decimationFor(ScanGeometry geometry, double bandwidth) {
        return Math.max(1, (int) (geometry.samplingFrequency() / (1.6 * bandwidth)));
    }

    /**
     * RF samples for each baseband sample.
     *
     * @return the decimation
     */
    public int decimation() {
        return decimation;
    }

    /**
     * Baseband samples a line.
     *
     * @return the number
     */
    public int length() {
        return length;
    }

    /**
     * Depth that passes from one baseband sample to the next.
     *
     * @return spacing (m)
     */
    public double sampleSpacing() {
        return decimation * geometry.sampleSpacing();
    }

    /**
     * Converts one line.
     *
     * @param frame the frame, of this converter's geometry
     * @param line line number
     * @param re receives the real part
     * @param im receives the imaginary part
     * @param offset where in the two arrays the line begins
     * @param flaws receives the share of RF samples that are flawed among the {@code decimation}
     *     ones from each baseband sample on, 0 to 1; null if not wanted
     * @param flawsOffset where in the flaws the line begins
     * @return whether any sample of the line is flawed
     * @throws IndexOutOfBoundsException if the line does not exist or does not fit
     */
    public boolean convert(
            RfFrame frame,
            int line,
            float[] re,
            float[] im,
            int offset,
            float[] flaws,
            int flawsOffset) {
        frame.readLine(line, raw, 0);
        boolean flawed = findFlaws(frame.clippingLevel(), flaws, flawsOffset);
        split();
        Arrays.fill(re, offset, offset + length, 0f);
        Arrays.fill(im, offset, offset + length, 0f);
        for (int j = 0; j < tapsRe.length; j++) {
            accumulate(
                    phases[j % decimation],
                    j / decimation,
                    tapsRe[j],
                    tapsIm[j],
                    re,
                    im,
                    offset,
                    length);
        }
        turn(turnRe, turnIm, re, im, offset, length);
        return flawed;
    }

    private boolean findFlaws(float clippingLevel, float[] flaws, int offset) {
        float[] x = raw;
        boolean any = false;
        for (int i = 0; i < x.length; i++) {
            // False for NaN as well.
            any |= !(Math.abs(x[i]) < clippingLevel);
        }
        if (flaws != null) {
            Arrays.fill(flaws, offset, offset + length, 0f);
        }
        if (!any) {
            return false;
        }
        float share = 1f / decimation;
        for (int i = 0; i < x.length; i++) {
            if (!(Math.abs(x[i]) < clippingLevel)) {
                if (flaws != null) {
                    flaws[offset + i / decimation] += share;
                }
                if (Float.isNaN(x[i]) || Float.isInfinite(x[i])) {
                    x[i] = 0f;
                }
            }
        }
        return true;
    }

    /** Deals the samples out so that sample k of phase p is RF sample k D + p - halfTaps. */
    private void split() {
        float[] x = raw;
        int d = decimation;
        for (int p = 0; p < d; p++) {
            float[] phase = phases[p];
            int first = p - halfTaps;
            int k = 0;
            for (; k < phase.length && first + k * d < 0; k++) {
                phase[k] = 0f;
            }
            int end = Math.min(phase.length, (x.length - first + d - 1) / d);
            for (; k < end; k++) {
                phase[k] = x[first + k * d];
            }
            for (; k < phase.length; k++) {
                phase[k] = 0f;
            }
        }
    }

    private static void accumulate(
            float[] x, int xFirst, float hRe, float hIm, float[] re, float[] im, int first, int n) {
        for (int k = 0; k < n; k++) {
            re[first + k] += hRe * x[xFirst + k];
            im[first + k] += hIm * x[xFirst + k];
        }
    }

    private static void turn(
            float[] turnRe, float[] turnIm, float[] re, float[] im, int first, int n) {
        for (int k = 0; k < n; k++) {
            float a = re[first + k];
            float b = im[first + k];
            re[first + k] = a * turnRe[k] - b * turnIm[k];
            im[first + k] = a * turnIm[k] + b * turnRe[k];
        }
    }

    /** Kaiser-windowed sinc of odd length and unit gain at 0; frequencies in cycles a sample. */
    private static double[] lowPass(double cutOff, double transition) {
        double beta = 0.1102 * (STOP_BAND_DB - 8.7);
        int half = (int) Math.ceil((STOP_BAND_DB - 7.95) / (2.285 * 2 * Math.PI * transition) / 2);
        double[] h = new double[2 * half + 1];
        double sum = 0;
        for (int j = -half; j <= half; j++) {
            double sinc = j == 0 ? 2 * cutOff : Math.sin(2 * Math.PI * cutOff * j) / (Math.PI * j);
            double r = half == 0 ? 0 : (double) j / half;
            h[j + half] = sinc * besselI0(beta * Math.sqrt(1 - r * r)) / besselI0(beta);
            sum += h[j + half];
        }
        for (int j = 0; j < h.length; j++) {
            h[j] /= sum;
        }
        return h;
    }

    /** Modified Bessel function of the first kind and order 0, by its power series. */
    private static double besselI0(double x) {
        double term = 1;
        double sum = 1;
        for (int k = 1; term > 1e-16 * sum; k++) {
            term *= (x / (2 * k)) * (x / (2 * k));
            sum += term;
        }
        return sum;
    }
}
