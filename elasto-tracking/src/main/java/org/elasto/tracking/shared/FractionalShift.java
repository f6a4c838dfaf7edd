package org.elasto.tracking.shared;

import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.RealMatrix;

/**
 * Reads a complex baseband frame between its samples, ten taps along the line and six across, from
 * tables of 512 positions between two samples. Immutable and thread-safe.
 *
 * <p>For each position the taps have the least mean square error over a band: along the line over
 * 0.33 cycles a sample, just beyond where the band of a {@link
 * org.elasto.api.signal.BasebandConverter} ends (0.3125); across the lines over 0.30 cycles a line,
 * which holds nearly all of the echo of a beam some lines wide. Along the line the error stays
 * below -50 dB of the signal up to 0.32 cycles a sample (a tone, the worst position, rounding to
 * the table included). Across the lines it stays below -40 dB up to 0.27 cycles a line; lines lie
 * farther apart than that asks for where a frame has fewer than about three lines for the width of
 * a beam at half its height.
 */
public final class FractionalShift {

    /** Taps of the interpolator along the line. */
    public static final int TAPS = 10;

    private static final int POSITIONS = 512;
    private static final float[] TABLE = table(TAPS, 0.33, 0);

    /** Taps across the lines. */
    private static final int TAPS_ACROSS = 6;

    /**
     * How far the taps across the lines can be shifted against their place: near the outermost
     * lines the last six are read, wherever among them the place lies.
     */
    private static final int LEAST_SHIFT = -(TAPS_ACROSS / 2 - 1);

    private static final int MOST_SHIFT = TAPS_ACROSS / 2;
    private static final float[] ACROSS = tablesAcross();

    private FractionalShift() {}

    /**
     * Keeps a position within the line and its margin; one that is not a number goes to its begin.
     */
    private static float clamp(float position, float lowest, float highest) {
        return position > lowest ? Math.min(highest, position) : lowest;
    }

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
            position = clamp(position, lowest, highest);
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
     * Undoes the estimated motion of one line in both directions, as {@link #warp} does in one: ten
     * taps along the line and six across. Lines beyond the first and last read as zero.
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
            position = clamp(position, lowest, highest);
            int whole = (int) (position + BasebandFrame.MARGIN) - BasebandFrame.MARGIN;
            int row = (int) ((position - whole) * POSITIONS + 0.5f) * TAPS;
            float lateral = clamp(line + v[to + n], -lines, 2 * lines);
            int wholeLine = (int) (lateral + lines) - lines;
            int firstLine = firstLine(lateral, wholeLine, lines);
            int rowAcross = rowAcross(lateral, wholeLine, firstLine);
            float sumRe = 0;
            float sumIm = 0;
            for (int m = 0; m < TAPS_ACROSS; m++) {
                int l = firstLine + m;
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
        int from = (int) Math.floor(clamp(Math.min(start, end), lowest, highest));
        int to = (int) Math.floor(clamp(Math.max(start, end), lowest, highest));
        from -= TAPS / 2 - 1;
        int n = to + TAPS / 2 + 1 - from;
        for (int line = 0; line < lines; line++) {
            readAcross(frame, firstLine + line + v, from, n, between);
            for (int k = 0; k < samples; k++) {
                float displacement = u + k * gradient;
                float position = firstSample + k + displacement * samplesPerMetre;
                position = clamp(position, lowest, highest) - from;
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
        float lateral = clamp(line, -lines, 2 * lines);
        int wholeLine = (int) (lateral + lines) - lines;
        int firstLine = firstLine(lateral, wholeLine, lines);
        int row = rowAcross(lateral, wholeLine, firstLine);
        for (int m = 0; m < TAPS_ACROSS; m++) {
            int l = firstLine + m;
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

    /** First of the lines that are read; within the frame for a place within it. */
    private static int firstLine(float place, int whole, int lines) {
        int first = whole - (TAPS_ACROSS / 2 - 1);
        boolean within = place >= 0 && place <= lines - 1 && lines >= TAPS_ACROSS;
        return within ? Math.max(0, Math.min(lines - TAPS_ACROSS, first)) : first;
    }

    private static int rowAcross(float place, int whole, int first) {
        int shift = whole - (TAPS_ACROSS / 2 - 1) - first;
        int position = (int) ((place - whole) * POSITIONS + 0.5f);
        return ((shift - LEAST_SHIFT) * (POSITIONS + 1) + position) * TAPS_ACROSS;
    }

    private static float[] tablesAcross() {
        int one = (POSITIONS + 1) * TAPS_ACROSS;
        float[] tables = new float[(MOST_SHIFT - LEAST_SHIFT + 1) * one];
        for (int shift = LEAST_SHIFT; shift <= MOST_SHIFT; shift++) {
            float[] table = table(TAPS_ACROSS, 0.30, shift);
            System.arraycopy(table, 0, tables, (shift - LEAST_SHIFT) * one, one);
        }
        return tables;
    }

    /**
     * Taps of least mean square error over the band from -edge to edge (cycles a sample), for
     * places so many samples behind the two in the middle.
     */
    private static float[] table(int taps, double edge, int shift) {
        RealMatrix matrix = new Array2DRowRealMatrix(taps, taps);
        RealMatrix right = new Array2DRowRealMatrix(taps, POSITIONS + 1);
        for (int i = 0; i < taps; i++) {
            for (int j = 0; j < taps; j++) {
                matrix.setEntry(i, j, sinc(2 * edge * (i - j)));
            }
            for (int p = 0; p <= POSITIONS; p++) {
                double distance = i - (taps / 2 - 1) - shift - (double) p / POSITIONS;
                right.setEntry(i, p, sinc(2 * edge * distance));
            }
        }
        RealMatrix weights = new CholeskyDecomposition(matrix).getSolver().solve(right);
        float[] table = new float[(POSITIONS + 1) * taps];
        for (int p = 0; p <= POSITIONS; p++) {
            for (int j = 0; j < taps; j++) {
                double w = weights.getEntry(j, p);
                // On a sample the others get exactly nothing.
                table[p * taps + j] = Math.abs(w) < 1e-9 ? 0f : (float) w;
            }
        }
        return table;
    }

    private static double sinc(double x) {
        return Math.abs(x) < 1e-12 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
    }
}
