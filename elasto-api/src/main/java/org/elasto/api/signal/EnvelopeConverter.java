package org.elasto.api.signal;

import java.util.Objects;
import org.elasto.api.Check;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;

/**
 * Turns a line of RF into the square of its envelope, thinned out: for pictures.
 *
 * <p>Sample {@code k} of the result belongs to RF sample {@code k * decimation} of the line: the
 * squared magnitude of what {@link BasebandConverter} makes of it, but for a filter that is as
 * short as a picture allows. Its gain is 1 at the centre frequency and one half at {@code bandwidth
 * / 2} beside it, with flanks so flat that little more of the band than its middle is left; aliases
 * stay out of the middle all the same. The stop band, the mirrored band of the negative frequencies
 * with it, is about 40 dB down: the envelope is true to a hundredth, a tenth of a decibel.
 *
 * <p>Samples that are NaN, infinite or of a size of 1e15 and more count as 0.
 *
 * <p>Owns its workspace: one thread at a time. A call allocates nothing.
 */
public final class EnvelopeConverter {

    private static final double STOP_BAND_DB = 40;

    /** Width of the flanks as a share of the room for them. */
    private static final double FLAT = 1.1;

    private final ScanGeometry geometry;
    private final int decimation;
    private final PolyphaseFilter filter;

    /**
     * Makes a converter, with the strongest decimation that keeps the envelope well sampled: {@link
     * BasebandConverter#decimationFor}.
     *
     * @param geometry geometry of the frames
     * @param bandwidth width of the band that is kept, around the centre frequency (Hz): greater
     *     than 0, and at most {@link BasebandConverter#widestBand}
     * @throws IllegalArgumentException if the bandwidth does not fit the geometry, or is so narrow
     *     that the filter would have more than 65535 taps
     */
    public EnvelopeConverter(ScanGeometry geometry, double bandwidth) {
        this.geometry = geometry;
        decimation = BasebandConverter.decimationFor(geometry, bandwidth);
        double fs = geometry.samplingFrequency();
        double flanks = Math.min(bandwidth, FLAT * (fs / decimation - bandwidth));
        double half = KaiserLowPass.halfLength(flanks / fs, STOP_BAND_DB);
        Check.range(
                "taps of the envelope's filter", 2 * half + 1, 3, BasebandConverter.MAX_TAPS, "");
        double[] h = KaiserLowPass.taps(bandwidth / 2 / fs, (int) half, STOP_BAND_DB);
        filter = new PolyphaseFilter(geometry, decimation, h);
    }

    /**
     * Results a line.
     *
     * @return the number
     */
    public int length() {
        return filter.length;
    }

    /**
     * Depth that passes from one result to the next.
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
     * @param power receives the square of the envelope
     * @param offset where in the array the line begins; {@link #length} values are written
     * @throws IllegalArgumentException if the frame's geometry is another, with both
     * @throws IndexOutOfBoundsException if the line does not exist or does not fit; then nothing
     *     has been written
     */
    public void convert(RfFrame frame, int line, float[] power, int offset) {
        Check.same("geometry of the frame", frame.geometry(), geometry);
        Objects.checkFromIndexSize(offset, filter.length, power.length);
        filter.read(frame, line);
        if (frame.sampleType() != SampleType.INT16) {
            for (float[] phase : filter.phases) {
                silenceFlaws(phase);
            }
        }
        filter.apply();
        square(filter.re, filter.im, filter.length);
        System.arraycopy(filter.re, 0, power, offset, filter.length);
    }

    private static void silenceFlaws(float[] x) {
        for (int k = 0; k < x.length; k++) {
            if (!(Math.abs(x[k]) < BasebandConverter.LARGEST)) {
                x[k] = 0;
            }
        }
    }

    private static void square(float[] re, float[] im, int n) {
        for (int k = 0; k < n; k++) {
            re[k] = re[k] * re[k] + im[k] * im[k];
        }
    }
}
