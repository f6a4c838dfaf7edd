package org.elasto.tracking.shared;

/**
 * Reads a complex baseband line between its samples: a windowed sinc of eight taps, from a table of
 * 512 positions between two samples. Immutable and thread-safe.
 *
 * <p>The Kaiser window is chosen so that the error stays below -50 dB for signals up to 0.32 cycles
 * a sample, which is where the band of a {@link org.elasto.api.signal.BasebandConverter} ends.
 */
public final class FractionalShift {

    /** Taps of the interpolator. */
    public static final int TAPS = 8;

    private static final int POSITIONS = 512;
    private static final double BETA = 4.0;
    private static final float[] TABLE = table();

    private FractionalShift() {}

    /**
     * Undoes the estimated motion of one line: {@code out[n] = b(n + u[n]) exp(+i 4 pi u /
     * lambda)}. Positions beyond the margin read as the margin: zero.
     *
     * @param frame the frame
     * @param line line number
     * @param u displacement (m), that of sample n at {@code to + n}; finite
     * @param wavelength wavelength at the centre frequency (m)
     * @param outRe receives the real part, laid out as the displacement
     * @param outIm receives the imaginary part
     * @param to index of sample 0
     */
    public static void warp(
            BasebandFrame frame,
            int line,
            float[] u,
            double wavelength,
            float[] outRe,
            float[] outIm,
            int to) {
        int length = frame.length;
        int at = line * frame.stride + BasebandFrame.MARGIN;
        float[] re = frame.re;
        float[] im = frame.im;
        float[] table = TABLE;
        float samplesPerMetre = (float) (1 / frame.spacing);
        float turnsPerMetre = (float) (2 / wavelength);
        float lowest = -BasebandFrame.MARGIN + TAPS / 2f;
        float highest = length - 1 + BasebandFrame.MARGIN - TAPS / 2f;
        for (int n = 0; n < length; n++) {
            float displacement = u[to + n];
            float position = n + displacement * samplesPerMetre;
            position = Math.max(lowest, Math.min(highest, position));
            // The margin keeps the position above -16, so that truncation after adding 16 floors.
            int whole = (int) (position + BasebandFrame.MARGIN) - BasebandFrame.MARGIN;
            int row = (int) ((position - whole) * POSITIONS + 0.5f) * TAPS;
            int first = at + whole - (TAPS / 2 - 1);
            float sumRe = 0;
            float sumIm = 0;
            for (int j = 0; j < TAPS; j++) {
                float w = table[row + j];
                sumRe += w * re[first + j];
                sumIm += w * im[first + j];
            }
            float turns = displacement * turnsPerMetre;
            turns -= (float) Math.rint(turns);
            float c = Turn.cos(turns);
            float s = Turn.sin(turns);
            outRe[to + n] = sumRe * c - sumIm * s;
            outIm[to + n] = sumRe * s + sumIm * c;
        }
    }

    private static float[] table() {
        float[] table = new float[(POSITIONS + 1) * TAPS];
        double[] row = new double[TAPS];
        for (int p = 0; p <= POSITIONS; p++) {
            double fraction = (double) p / POSITIONS;
            double sum = 0;
            for (int j = 0; j < TAPS; j++) {
                double x = j - (TAPS / 2 - 1) - fraction;
                double sinc = Math.abs(x) < 1e-12 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
                double r = x / (TAPS / 2.0);
                row[j] = Math.abs(r) >= 1 ? 0 : sinc * besselI0(BETA * Math.sqrt(1 - r * r));
                sum += row[j];
            }
            for (int j = 0; j < TAPS; j++) {
                table[p * TAPS + j] = (float) (row[j] / sum);
            }
        }
        return table;
    }

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
