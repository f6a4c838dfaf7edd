package org.elasto.api.signal;

import java.util.Arrays;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;

/**
 * A band-pass filter for one side of the spectrum that thins out at once: a low-pass of odd length,
 * moved to the centre frequency, at every so manieth sample of a line.
 *
 * <p>One thread at a time. A call allocates nothing.
 */
final class PolyphaseFilter {

    private final int decimation;
    private final int halfTaps;

    /** Results a line. */
    final int length;

    /** Real and imaginary part of the result, after {@link #apply}. */
    final float[] re;

    final float[] im;

    /** Sample k of phase p is RF sample {@code k D + p - halfTaps}, 0 beyond the line's ends. */
    final float[][] phases;

    /** The places of each phase that hold samples: from the start to before the end. */
    private final int[] starts;

    private final int[] ends;

    /** The taps from the middle one on, and a 0; those before it are their conjugates. */
    private final float[] tapsRe;

    private final float[] tapsIm;
    private final float[][] shifted;

    /**
     * Makes a filter.
     *
     * @param geometry geometry of the frames
     * @param decimation RF samples for each result
     * @param lowPass the low-pass, symmetric, of odd length
     */
    PolyphaseFilter(ScanGeometry geometry, int decimation, double[] lowPass) {
        this.decimation = decimation;
        halfTaps = lowPass.length / 2;
        length = (geometry.samples() + decimation - 1) / decimation;
        tapsRe = new float[halfTaps + 2];
        tapsIm = new float[halfTaps + 2];
        double step = 2 * Math.PI * geometry.centreFrequency() / geometry.samplingFrequency();
        for (int j = 0; j <= halfTaps; j++) {
            tapsRe[j] = (float) (2 * lowPass[halfTaps + j] * Math.cos(step * j));
            tapsIm[j] = (float) (-2 * lowPass[halfTaps + j] * Math.sin(step * j));
        }
        phases = new float[decimation][length + 2 * halfTaps / decimation];
        starts = new int[decimation];
        ends = new int[decimation];
        for (int p = 0; p < decimation; p++) {
            int end = (geometry.samples() - p + halfTaps + decimation - 1) / decimation;
            starts[p] = (halfTaps - p + decimation - 1) / decimation;
            ends[p] = Math.max(starts[p], Math.min(phases[p].length, end));
        }
        shifted = new float[4][length];
        re = new float[length];
        im = new float[length];
    }

    /** First sample of a line behind all that the phases hold. */
    int uncovered() {
        return decimation * phases[0].length - halfTaps;
    }

    /** Deals out a line of a frame. */
    void read(RfFrame frame, int line) {
        for (int p = 0; p < decimation; p++) {
            int first = p - halfTaps + starts[p] * decimation;
            int count = ends[p] - starts[p];
            frame.readSamples(line, first, decimation, count, phases[p], starts[p]);
        }
    }

    /** Deals out a line. */
    void read(float[] line) {
        for (int p = 0; p < decimation; p++) {
            int first = p - halfTaps;
            for (int k = starts[p]; k < ends[p]; k++) {
                phases[p][k] = line[first + k * decimation];
            }
        }
    }

    /**
     * Applies the taps, two to either side in each pass: to both sides of the middle their real
     * parts are alike and their imaginary parts opposite. HotSpot 17 turns the sums into vector
     * instructions only if every array is read and written at the running index itself, hence the
     * shifted copies.
     */
    void apply() {
        scale(re, inPlace(halfTaps, 0), tapsRe[0], length);
        Arrays.fill(im, 0f);
        for (int j = 1; j <= halfTaps; j += 2) {
            float[] a = inPlace(halfTaps - j, 0);
            float[] b = inPlace(halfTaps + j, 1);
            // Behind the last tap there is one that is 0.
            int next = Math.min(j + 1, halfTaps);
            float[] c = inPlace(halfTaps - next, 2);
            float[] d = inPlace(halfTaps + next, 3);
            float g = tapsIm[j];
            float i = tapsIm[j + 1];
            accumulate(re, im, a, b, c, d, tapsRe[j], g, tapsRe[j + 1], i, length);
        }
    }

    /** What a tap sees of the line, at every result. */
    private float[] inPlace(int tap, int slot) {
        float[] phase = phases[tap % decimation];
        int shift = tap / decimation;
        if (shift == 0) {
            return phase;
        }
        System.arraycopy(phase, shift, shifted[slot], 0, length);
        return shifted[slot];
    }

    private static void scale(float[] out, float[] x, float h, int n) {
        for (int k = 0; k < n; k++) {
            out[k] = h * x[k];
        }
    }

    private static void accumulate(
            float[] re,
            float[] im,
            float[] a,
            float[] b,
            float[] c,
            float[] d,
            float hRe,
            float hIm,
            float iRe,
            float iIm,
            int n) {
        for (int k = 0; k < n; k++) {
            float x = a[k];
            float y = b[k];
            float z = c[k];
            float w = d[k];
            re[k] += hRe * (x + y) + iRe * (z + w);
            im[k] += hIm * (y - x) + iIm * (w - z);
        }
    }
}
