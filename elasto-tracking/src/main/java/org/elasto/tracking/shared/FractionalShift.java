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
    private static final float[] TABLE = table(TAPS, BETA);

    /**
     * Across the lines the polynomial through six points does: a beam is some lines wide, and its
     * echo therefore well sampled. Unlike a windowed sinc so short, the polynomial shifts slow
     * changes by exactly what it is asked for, so that lateral displacements have no bias from it.
     */
    private static final int TAPS_ACROSS = 6;

    private static final float[] ACROSS = polynomialTable();

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

    /**
     * Undoes the estimated motion of one line in both directions, as {@link #warp} does in one:
     * eight taps along the line and six across. Lines beyond the first and last read as zero.
     *
     * @param frame the frame
     * @param line line number
     * @param u axial displacement (m), that of sample n at {@code to + n}; finite
     * @param v lateral displacement in lines, laid out as the axial one; finite
     * @param wavelength wavelength at the centre frequency (m)
     * @param outRe receives the real part, laid out as the displacements
     * @param outIm receives the imaginary part
     * @param to index of sample 0
     */
    public static void warp(
            BasebandFrame frame,
            int line,
            float[] u,
            float[] v,
            double wavelength,
            float[] outRe,
            float[] outIm,
            int to) {
        int length = frame.length;
        int lines = frame.lines;
        int stride = frame.stride;
        float[] re = frame.re;
        float[] im = frame.im;
        float[] table = TABLE;
        float[] across = ACROSS;
        float samplesPerMetre = (float) (1 / frame.spacing);
        float turnsPerMetre = (float) (2 / wavelength);
        float lowest = -BasebandFrame.MARGIN + TAPS / 2f;
        float highest = length - 1 + BasebandFrame.MARGIN - TAPS / 2f;
        for (int n = 0; n < length; n++) {
            float displacement = u[to + n];
            float position = n + displacement * samplesPerMetre;
            position = Math.max(lowest, Math.min(highest, position));
            int whole = (int) (position + BasebandFrame.MARGIN) - BasebandFrame.MARGIN;
            int row = (int) ((position - whole) * POSITIONS + 0.5f) * TAPS;
            float lateral = Math.max(-lines, Math.min(2 * lines, line + v[to + n]));
            int wholeLine = (int) (lateral + lines) - lines;
            int rowAcross = (int) ((lateral - wholeLine) * POSITIONS + 0.5f) * TAPS_ACROSS;
            float sumRe = 0;
            float sumIm = 0;
            for (int m = 0; m < TAPS_ACROSS; m++) {
                int l = wholeLine - (TAPS_ACROSS / 2 - 1) + m;
                float weight = across[rowAcross + m];
                if (l < 0 || l >= lines || weight == 0f) {
                    continue;
                }
                int first = l * stride + BasebandFrame.MARGIN + whole - (TAPS / 2 - 1);
                float lineRe = 0;
                float lineIm = 0;
                for (int j = 0; j < TAPS; j++) {
                    float w = table[row + j];
                    lineRe += w * re[first + j];
                    lineIm += w * im[first + j];
                }
                sumRe += weight * lineRe;
                sumIm += weight * lineIm;
            }
            float turns = displacement * turnsPerMetre;
            turns -= (float) Math.rint(turns);
            float c = Turn.cos(turns);
            float s = Turn.sin(turns);
            outRe[to + n] = sumRe * c - sumIm * s;
            outIm[to + n] = sumRe * s + sumIm * c;
        }
    }

    /**
     * Undoes an estimated motion of a small window that moves sideways as a whole and in depth by a
     * straight line of displacements: {@link #warp} in two directions, at less cost.
     *
     * @param frame the frame
     * @param firstLine first line of the window
     * @param lines number of lines; those beyond the frame read as zero
     * @param firstSample first sample of the window
     * @param samples number of samples
     * @param u axial displacement of the first sample (m); finite
     * @param gradient axial displacement that passes from sample to sample (m), at most a fifth of
     *     the spacing either way
     * @param v lateral displacement in lines; finite
     * @param wavelength wavelength at the centre frequency (m)
     * @param between workspace of at least {@code 4 * samples + 40} elements
     * @param outRe receives the real part, {@code line * samples + sample} within the window
     * @param outIm receives the imaginary part
     */
    public static void warpWindow(
            BasebandFrame frame,
            int firstLine,
            int lines,
            int firstSample,
            int samples,
            float u,
            float gradient,
            float v,
            double wavelength,
            float[] between,
            float[] outRe,
            float[] outIm) {
        float samplesPerMetre = (float) (1 / frame.spacing);
        float turnsPerMetre = (float) (2 / wavelength);
        float lowest = -BasebandFrame.MARGIN + TAPS / 2f;
        float highest = frame.length - 1 + BasebandFrame.MARGIN - TAPS / 2f;
        float start = firstSample + u * samplesPerMetre;
        float end = firstSample + samples - 1 + (u + (samples - 1) * gradient) * samplesPerMetre;
        int from = (int) Math.floor(Math.max(lowest, Math.min(highest, Math.min(start, end))));
        int to = (int) Math.floor(Math.max(lowest, Math.min(highest, Math.max(start, end))));
        from -= TAPS / 2 - 1;
        int n = to + TAPS / 2 + 1 - from;
        for (int line = 0; line < lines; line++) {
            readAcross(frame, firstLine + line + v, from, n, between);
            for (int k = 0; k < samples; k++) {
                float displacement = u + k * gradient;
                float position = firstSample + k + displacement * samplesPerMetre;
                position = Math.max(lowest, Math.min(highest, position)) - from;
                int whole = (int) position;
                int row = (int) ((position - whole) * POSITIONS + 0.5f) * TAPS;
                int first = whole - (TAPS / 2 - 1);
                float sumRe = 0;
                float sumIm = 0;
                for (int j = 0; j < TAPS; j++) {
                    float w = TABLE[row + j];
                    sumRe += w * between[first + j];
                    sumIm += w * between[n + first + j];
                }
                float turns = displacement * turnsPerMetre;
                turns -= (float) Math.rint(turns);
                float c = Turn.cos(turns);
                float s = Turn.sin(turns);
                outRe[line * samples + k] = sumRe * c - sumIm * s;
                outIm[line * samples + k] = sumRe * s + sumIm * c;
            }
        }
    }

    /** A stretch of a line between the lines; imaginary parts behind the real ones. */
    private static void readAcross(
            BasebandFrame frame, float line, int from, int n, float[] between) {
        java.util.Arrays.fill(between, 0, 2 * n, 0f);
        int lines = frame.lines;
        float lateral = Math.max(-lines, Math.min(2 * lines, line));
        int wholeLine = (int) (lateral + lines) - lines;
        int row = (int) ((lateral - wholeLine) * POSITIONS + 0.5f) * TAPS_ACROSS;
        for (int m = 0; m < TAPS_ACROSS; m++) {
            int l = wholeLine - (TAPS_ACROSS / 2 - 1) + m;
            float weight = ACROSS[row + m];
            if (l < 0 || l >= lines || weight == 0f) {
                continue;
            }
            int at = l * frame.stride + BasebandFrame.MARGIN + from;
            for (int k = 0; k < n; k++) {
                between[k] += weight * frame.re[at + k];
                between[n + k] += weight * frame.im[at + k];
            }
        }
    }

    /** Lagrange's polynomial through the points around. */
    private static float[] polynomialTable() {
        float[] table = new float[(POSITIONS + 1) * TAPS_ACROSS];
        for (int p = 0; p <= POSITIONS; p++) {
            double x = TAPS_ACROSS / 2 - 1 + (double) p / POSITIONS;
            for (int j = 0; j < TAPS_ACROSS; j++) {
                double w = 1;
                for (int k = 0; k < TAPS_ACROSS; k++) {
                    w *= k == j ? 1 : (x - k) / (j - k);
                }
                table[p * TAPS_ACROSS + j] = (float) w;
            }
        }
        return table;
    }

    private static float[] table(int taps, double beta) {
        float[] table = new float[(POSITIONS + 1) * taps];
        double[] row = new double[taps];
        for (int p = 0; p <= POSITIONS; p++) {
            double fraction = (double) p / POSITIONS;
            double sum = 0;
            for (int j = 0; j < taps; j++) {
                double x = j - (taps / 2 - 1) - fraction;
                double sinc = Math.abs(x) < 1e-12 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
                double r = x / (taps / 2.0);
                row[j] = Math.abs(r) >= 1 ? 0 : sinc * besselI0(beta * Math.sqrt(1 - r * r));
                row[j] = Math.abs(row[j]) < 1e-9 ? 0 : row[j];
                sum += row[j];
            }
            for (int j = 0; j < taps; j++) {
                table[p * taps + j] = (float) (row[j] / sum);
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
