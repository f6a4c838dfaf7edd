package org.elasto.api.signal;

import java.util.Arrays;
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

    /** Beyond it, sums of squares would leave the range of float. */
    private static final float LARGEST = 1e15f;

    private static final int MAX_TAPS = 65535;

    /** Phases that are taken in one pass over the line. */
    private static final int TOGETHER = 4;

    private final ScanGeometry geometry;
    private final int decimation;
    private final int length;
    private final int halfTaps;

    /** Baseband samples that a result is made from, each in all its phases. */
    private final int shifts;

    /** Phases with those that are all 0: a multiple of {@link #TOGETHER}. */
    private final int slots;

    /** The tap of phase p at shift s at {@code s * slots + p}, with zeros at the end. */
    private final float[] tapsRe;

    private final float[] tapsIm;

    /**
     * The phases, and then the sums' real and imaginary parts. Sample k of phase p is RF sample
     * {@code k D + p - halfTaps}, 0 beyond the line's ends; phases from the decimation D on are all
     * 0.
     */
    private final float[][] rows;

    /** Elements of each row. */
    private final int width;

    /** The places of each phase that hold samples: from the start to before the end. */
    private final int[] starts;

    private final int[] ends;

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
        length = (geometry.samples() + decimation - 1) / decimation;
        double fs = geometry.samplingFrequency();
        double flanks = Math.min(bandwidth, FLAT * (fs / decimation - bandwidth));
        double half = KaiserLowPass.halfLength(flanks / fs, STOP_BAND_DB);
        double taps = Check.range("taps of the envelope's filter", 2 * half + 1, 3, MAX_TAPS, "");
        halfTaps = (int) half;
        shifts = ((int) taps + decimation - 1) / decimation;
        slots = (decimation + TOGETHER - 1) / TOGETHER * TOGETHER;
        tapsRe = new float[shifts * slots];
        tapsIm = new float[shifts * slots];
        double[] h = KaiserLowPass.taps(bandwidth / 2 / fs, halfTaps, STOP_BAND_DB);
        double step = 2 * Math.PI * geometry.centreFrequency() / fs;
        for (int j = 0; j < h.length; j++) {
            double angle = -step * (j - halfTaps);
            int place = j / decimation * slots + j % decimation;
            tapsRe[place] = (float) (2 * h[j] * Math.cos(angle));
            tapsIm[place] = (float) (2 * h[j] * Math.sin(angle));
        }
        width = length + shifts - 1;
        rows = AlignedRows.ofFloats(slots + 2, width);
        starts = new int[decimation];
        ends = new int[decimation];
        for (int p = 0; p < decimation; p++) {
            int end = (geometry.samples() - p + halfTaps + decimation - 1) / decimation;
            starts[p] = (halfTaps - p + decimation - 1) / decimation;
            ends[p] = Math.max(starts[p], Math.min(width, end));
        }
    }

    /**
     * Results a line.
     *
     * @return the number
     */
    public int length() {
        return length;
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
        Objects.checkFromIndexSize(offset, length, power.length);
        read(frame, line);
        filter();
        square(rows[slots], rows[slots + 1], length);
        System.arraycopy(rows[slots], 0, power, offset, length);
    }

    private void read(RfFrame frame, int line) {
        for (int p = 0; p < decimation; p++) {
            int first = p - halfTaps + starts[p] * decimation;
            int count = ends[p] - starts[p];
            frame.readSamples(line, first, decimation, count, rows[p], starts[p]);
            if (frame.sampleType() != SampleType.INT16) {
                silenceFlaws(rows[p], starts[p], ends[p]);
            }
        }
    }

    private static void silenceFlaws(float[] x, int from, int to) {
        for (int k = from; k < to; k++) {
            if (!(Math.abs(x[k]) < LARGEST)) {
                x[k] = 0;
            }
        }
    }

    /**
     * Applies the taps, the last shift first, and moves the sums instead of the phases from shift
     * to shift: HotSpot 17 turns the sums into vector instructions only if every array is read and
     * written at the running index itself.
     */
    private void filter() {
        float[] re = rows[slots];
        float[] im = rows[slots + 1];
        Arrays.fill(re, 0f);
        Arrays.fill(im, 0f);
        for (int tap = tapsRe.length; tap > 0; ) {
            for (int p = slots; p > 0; ) {
                p -= TOGETHER;
                tap -= TOGETHER;
                accumulate(rows, p, tapsRe, tap, re, width);
                accumulate(rows, p, tapsIm, tap, im, width);
            }
            if (tap > 0) {
                System.arraycopy(re, 1, re, 0, width - 1);
                System.arraycopy(im, 1, im, 0, width - 1);
            }
        }
    }

    private static void accumulate(
            float[][] phases, int first, float[] taps, int tap, float[] sum, int n) {
        float[] x0 = phases[first];
        float[] x1 = phases[first + 1];
        float[] x2 = phases[first + 2];
        float[] x3 = phases[first + 3];
        float h0 = taps[tap];
        float h1 = taps[tap + 1];
        float h2 = taps[tap + 2];
        float h3 = taps[tap + 3];
        for (int k = 0; k < n; k++) {
            sum[k] += h0 * x0[k] + h1 * x1[k] + h2 * x2[k] + h3 * x3[k];
        }
    }

    private static void square(float[] re, float[] im, int n) {
        for (int k = 0; k < n; k++) {
            re[k] = re[k] * re[k] + im[k] * im[k];
        }
    }
}
