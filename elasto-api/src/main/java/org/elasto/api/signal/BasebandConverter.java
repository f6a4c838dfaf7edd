package org.elasto.api.signal;

import java.util.Arrays;
import java.util.Objects;
import org.elasto.api.Check;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;

/**
 * Turns a line of RF into complex baseband: the analytic signal, band-limited, shifted down by the
 * centre frequency, and thinned out.
 *
 * <p>Sample {@code k} of the result belongs to RF sample {@code k * decimation} of the line; the
 * filter's delay is taken out, and the line counts as 0 beyond its ends. The magnitude of the
 * result is the envelope of the band-limited echo. With x the RF line, f the centre frequency, fs
 * the sampling frequency, D the decimation and h a symmetric low-pass of unit gain at 0, {@code
 * y[k] = 2 sum over j of h[j] x[n] exp(-2 pi i f n / fs)} with {@code n = k D + j}. Tissue that
 * moves by d away from the probe turns the phase by {@code -4 pi f d / c}.
 *
 * <p>The low-pass is a Kaiser-windowed sinc (Kaiser, 1974, as given in the handbooks of digital
 * filters). Its gain is 1 at the centre frequency, one half at {@code bandwidth / 2} beside it, and
 * changes over a transition around that point, as wide as 0.3 times the bandwidth or, if that is
 * less, as the baseband's sampling frequency exceeds the bandwidth. Before the transition the gain
 * is 1 and behind it 0, both to within 0.0015 (the stop band is about 60 dB down).
 *
 * <p>Samples that are NaN, infinite or of a size of 1e15 and more count as 0 and are reported as
 * flawed; so are clipped ones, which keep their value. A flawed sample spoils what the filter makes
 * of it: the results up to {@link #reach} away.
 *
 * <p>Owns its workspace: one thread at a time. A call allocates nothing.
 */
public final class BasebandConverter {

    private static final double STOP_BAND_DB = 60;

    /** Beyond it, sums of squares would leave the range of float. */
    static final float LARGEST = 1e15f;

    private static final int MAX_DECIMATION = 1024;

    /** Width of the flanks as a share of the band, at most. */
    private static final double STEEP = 0.3;

    /** Width of flat flanks as a share of the room for them; up to 2, aliases miss the band. */
    private static final double FLAT = 1.3;

    static final int MAX_TAPS = 65535;

    /** Numbers that are quicker looked at one by one. */
    private static final int FEW = 80;

    private final ScanGeometry geometry;
    private final int decimation;
    private final int length;
    private final int halfTaps;

    private final PolyphaseFilter filter;
    private final float[] turnRe;
    private final float[] turnIm;
    private final float[] raw;

    /** First sample behind all that the phases hold. */
    private final int uncovered;

    /** Greatest size of the samples at each place of the phases. */
    private final float[] peaks;

    private final float[] shiftedPeaks;

    /**
     * Makes a converter.
     *
     * @param geometry geometry of the frames
     * @param bandwidth width of the band that is kept, around the centre frequency (Hz): greater
     *     than 0, and at most {@link #widestBand}
     * @param decimation RF samples for each baseband sample, 1 to 1024; the baseband's sampling
     *     frequency must be greater than the bandwidth
     * @throws IllegalArgumentException if bandwidth and decimation do not fit the geometry, or are
     *     so narrow or so close to one another that the filter would have more than 65535 taps
     */
    public BasebandConverter(ScanGeometry geometry, double bandwidth, int decimation) {
        // The flanks may reach as far as their alias stays out of the band that is kept, but not
        // so far that much noise gets in beside the band.
        this(
                geometry,
                bandwidth,
                decimation,
                Math.min(
                        STEEP * bandwidth,
                        geometry.samplingFrequency() / Math.max(1, decimation) - bandwidth));
    }

    /**
     * Makes a converter whose filter has flanks of a given width: the wider, the quicker, and the
     * more noise gets in beside the band; what is left of the pass band is 1 to within 0.004. For
     * where that matters little.
     *
     * @param geometry geometry of the frames
     * @param bandwidth as above
     * @param decimation as above
     * @param flanks width over which the filter falls, half of it within the band (Hz): greater
     *     than 0; with at most the baseband's sampling frequency less the bandwidth, aliases stay
     *     out of the band
     * @throws IllegalArgumentException as above, or if the width of the flanks is not greater than
     *     0
     */
    public BasebandConverter(
            ScanGeometry geometry, double bandwidth, int decimation, double flanks) {
        this.geometry = geometry;
        this.decimation = Check.range("decimation", decimation, 1, MAX_DECIMATION);
        Check.positive("bandwidth", bandwidth, "Hz");
        Check.range("bandwidth", bandwidth, 0, widestBand(geometry), "Hz");
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

        Check.positive("width of the filter's flanks", flanks, "Hz");
        halfTaps = halfTaps(flanks / fs, bandwidth, decimation);
        double[] h = KaiserLowPass.taps(bandwidth / 2 / fs, halfTaps, STOP_BAND_DB);
        filter = new PolyphaseFilter(geometry, decimation, h);
        double step = 2 * Math.PI * geometry.centreFrequency() / fs;
        turnRe = new float[length];
        turnIm = new float[length];
        for (int k = 0; k < length; k++) {
            double angle = -Math.IEEEremainder(step * k * decimation, 2 * Math.PI);
            turnRe[k] = (float) Math.cos(angle);
            turnIm[k] = (float) Math.sin(angle);
        }
        raw = new float[geometry.samples()];
        peaks = new float[filter.phases[0].length];
        shiftedPeaks = new float[peaks.length];
        uncovered = Math.min(raw.length, filter.uncovered());
    }

    /**
     * The widest band that lies between 0 and half the sampling frequency, where RF can be.
     *
     * @param geometry geometry of the frames
     * @return width around the centre frequency (Hz)
     */
    public static double widestBand(ScanGeometry geometry) {
        double f = geometry.centreFrequency();
        return Math.min(2 * f, geometry.samplingFrequency() - 2 * f);
    }

    /**
     * A band around the centre frequency that can be converted.
     *
     * @param geometry geometry of the frames
     * @param share its width as a share of the centre frequency, greater than 0
     * @return width (Hz): that share, or a little less than {@link #widestBand} if that is narrower
     */
    public static double bandFor(ScanGeometry geometry, double share) {
        return Math.min(share * geometry.centreFrequency(), 0.99 * widestBand(geometry));
    }

    /**
     * The strongest decimation that keeps the baseband well sampled: its sampling frequency at
     * least 1.6 times the bandwidth.
     *
     * @param geometry geometry of the frames
     * @param bandwidth width of the band that is kept (Hz)
     * @return decimation, 1 to 1024
     * @throws IllegalArgumentException if the bandwidth is not greater than 0 or above {@link
     *     #widestBand}
     */
    public static int decimationFor(ScanGeometry geometry, double bandwidth) {
        Check.positive("bandwidth", bandwidth, "Hz");
        Check.range("bandwidth", bandwidth, 0, widestBand(geometry), "Hz");
        return (int) Math.min(MAX_DECIMATION, geometry.samplingFrequency() / (1.6 * bandwidth));
    }

    /**
     * Flanks where speed counts for more than an even band: so flat that little more of the
     * filter's pass band than its middle is left, with a third of the taps of steep ones. Aliases
     * stay out of the band all the same.
     *
     * @param geometry geometry of the frames
     * @param bandwidth width of the band that is kept (Hz)
     * @param decimation RF samples for each baseband sample, whose sampling frequency is greater
     *     than the bandwidth
     * @return width of the flanks (Hz): the bandwidth, or 1.3 times what the sampling frequency
     *     exceeds it by if that is less
     */
    public static double flatFlanks(ScanGeometry geometry, double bandwidth, int decimation) {
        double room = geometry.samplingFrequency() / decimation - bandwidth;
        return Math.min(bandwidth, FLAT * room);
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
     * RF samples to either side that a baseband sample is made from.
     *
     * @return half the length of the filter, at least 1
     */
    public int reach() {
        return halfTaps;
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
     * @param offset where in the two arrays the line begins; {@link #length} values are written
     * @param flaws receives the share of RF samples that are flawed among the {@code decimation}
     *     ones from each baseband sample on (at the end of the line: those that are left), 0 to 1;
     *     null if not wanted
     * @param flawsOffset where in the flaws the line begins
     * @return whether any sample of the line is flawed
     * @throws IllegalArgumentException if the frame's geometry is another, with both
     * @throws IndexOutOfBoundsException if the line does not exist or does not fit; then nothing
     *     has been written
     */
    public boolean convert(
            RfFrame frame,
            int line,
            float[] re,
            float[] im,
            int offset,
            float[] flaws,
            int flawsOffset) {
        Check.same("geometry of the frame", frame.geometry(), geometry);
        Objects.checkFromIndexSize(offset, length, re.length);
        Objects.checkFromIndexSize(offset, length, im.length);
        if (flaws != null) {
            Objects.checkFromIndexSize(flawsOffset, length, flaws.length);
        }
        boolean flawed = read(frame, line, flaws, flawsOffset);
        filter.apply();
        turn(turnRe, turnIm, filter.re, filter.im, length);
        System.arraycopy(filter.re, 0, re, offset, length);
        System.arraycopy(filter.im, 0, im, offset, length);
        return flawed;
    }

    /** Deals out a line of the frame, with zeros for samples that are no numbers. */
    private boolean read(RfFrame frame, int line, float[] flaws, int flawsOffset) {
        filter.read(frame, line);
        if (flaws != null) {
            Arrays.fill(flaws, flawsOffset, flawsOffset + length, 0f);
        }
        float limit = Math.min(frame.clippingLevel(), LARGEST);
        if (areAllBelow(limit, frame, line)) {
            return false;
        }
        frame.readLine(line, raw, 0);
        markFlaws(limit, flaws, flawsOffset);
        filter.read(raw);
        return true;
    }

    private void markFlaws(float limit, float[] flaws, int offset) {
        float[] x = raw;
        for (int i = 0; i < x.length; i++) {
            if (!(Math.abs(x[i]) < limit)) {
                if (flaws != null) {
                    flaws[offset + i / decimation]++;
                }
                if (!(Math.abs(x[i]) < LARGEST)) {
                    x[i] = 0f;
                }
            }
        }
        if (flaws != null) {
            for (int k = 0; k < length; k++) {
                flaws[offset + k] /= Math.min(decimation, x.length - k * decimation);
            }
        }
    }

    /** Whether all samples are smaller than a limit; one that is NaN is not. */
    private boolean areAllBelow(float limit, RfFrame frame, int line) {
        int n = peaks.length;
        Arrays.fill(peaks, 0f);
        for (float[] phase : filter.phases) {
            raise(peaks, phase, n);
        }
        // One half against the other, and again, until few are left.
        while (n > FEW) {
            int half = (n + 1) / 2;
            System.arraycopy(peaks, half, shiftedPeaks, 0, n - half);
            raise(peaks, shiftedPeaks, n - half);
            n = half;
        }
        boolean all = true;
        for (int k = 0; k < n; k++) {
            all &= peaks[k] < limit;
        }
        // What no phase holds: the filter may be shorter than the decimation.
        if (uncovered < raw.length) {
            frame.readSamples(line, uncovered, 1, raw.length - uncovered, raw, uncovered);
            for (int i = uncovered; i < raw.length; i++) {
                all &= Math.abs(raw[i]) < limit;
            }
        }
        return all;
    }

    private static void raise(float[] peaks, float[] phase, int n) {
        for (int k = 0; k < n; k++) {
            peaks[k] = Math.max(peaks[k], Math.abs(phase[k]));
        }
    }

    private static void turn(float[] turnRe, float[] turnIm, float[] re, float[] im, int n) {
        for (int k = 0; k < n; k++) {
            float a = re[k];
            float b = im[k];
            re[k] = a * turnRe[k] - b * turnIm[k];
            im[k] = a * turnIm[k] + b * turnRe[k];
        }
    }

    private static int halfTaps(double transition, double bandwidth, int decimation) {
        double half = KaiserLowPass.halfLength(transition, STOP_BAND_DB);
        if (!(2 * half + 1 <= MAX_TAPS)) {
            throw new IllegalArgumentException(
                    "bandwidth is "
                            + bandwidth
                            + " Hz and decimation "
                            + decimation
                            + "; the filter would need "
                            + (2 * half + 1)
                            + " taps, and it must be at most "
                            + MAX_TAPS);
        }
        return (int) half;
    }
}
