package org.elasto.strain.shared;

import java.util.Arrays;
import org.elasto.api.DisplacementField;

/**
 * Fits a weighted least-squares line through the window around every row of some lines at once.
 * Takes a time that grows with the window; {@link SlidingLine} is for long ones.
 *
 * <p>Workspace of one worker; a call allocates nothing.
 */
public final class BlockLine {

    /** Lines of a block: as many as keep their sums in the nearest memory. */
    public static final int LINES = 8;

    /** Rows to either side up to which this costs less than sums that slide. */
    private static final int LONGEST = 8;

    private final RowWindow window;
    private final int rows;
    private final int[] reach;
    private final PaddedLines lines;
    private final BlockSums sums;
    private final BlockVariance variance;
    private final float[] deviation;
    private final float[] match;
    private final float[] stretch;
    private final float[] shifted;

    /**
     * Makes the workspace of one worker.
     *
     * @param window the window
     * @param rows rows of a line
     */
    public BlockLine(RowWindow window, int rows) {
        this.window = window;
        this.rows = rows;
        reach = new int[window.half() + 1];
        Arrays.fill(reach, rows);
        lines = new PaddedLines(LINES, rows, window.half(), 0, true);
        sums = new BlockSums(LINES * lines.stride);
        variance = new BlockVariance(window, sums.size);
        for (int i = 0; i < sums.size; i++) {
            sums.expect(i, window.half(), window.needed());
        }
        deviation = new float[sums.size];
        match = new float[lines.match.length];
        stretch = new float[match.length];
        shifted = new float[match.length];
    }

    /**
     * Blocks that hold all lines.
     *
     * @param lines number of lines
     * @return number of blocks
     */
    static int blocks(int lines) {
        return (lines + LINES - 1) / LINES;
    }

    /**
     * Whether a window is short enough for this to be the faster way.
     *
     * @param window the window
     * @return true if it is
     */
    public static boolean suits(RowWindow window) {
        return window.half() <= LONGEST;
    }

    /**
     * Fits all windows of some lines of a field's axial displacement.
     *
     * @param field the field
     * @param first number of the first line
     * @param count number of lines, {@link #LINES} at most
     * @param slope plane that receives the slopes, NaN where unknown
     * @param slopeDeviation plane that receives their predicted deviations
     * @param meanMatch receives, line after line, the mean correlation of the window's known rows,
     *     0 where the slope is unknown
     */
    public void fit(
            DisplacementField field,
            int first,
            int count,
            float[] slope,
            float[] slopeDeviation,
            float[][] meanMatch) {
        for (int j = 0; j < LINES; j++) {
            if (j < count) {
                int from = (first + j) * rows;
                float[] match = field.correlation();
                lines.load(j, field.axial(), field.axialDeviation(), match, from);
            } else {
                lines.clear(j);
            }
        }
        int known = lines.weigh(0, LINES);
        if (known == 0) {
            Arrays.fill(slope, first * rows, (first + count) * rows, Float.NaN);
            Arrays.fill(slopeDeviation, first * rows, (first + count) * rows, Float.NaN);
            for (int j = 0; j < count; j++) {
                Arrays.fill(meanMatch[j], 0);
            }
            return;
        }
        sums.fit(lines, 0, 1, window.half(), reach);
        variance.predict(lines, 0, sums, deviation);
        averageMatch();
        float[] sound = sums.check();
        perMetre(sums.slope, deviation, (float) (1 / window.spacing()), sums.size);
        for (int j = 0; j < count; j++) {
            write(sound, j * lines.stride, (first + j) * rows, slope, slopeDeviation, meanMatch[j]);
        }
    }

    /** Mean match of the windows, from sums of stretches that double. */
    private void averageMatch() {
        int n = match.length;
        System.arraycopy(lines.match, 0, stretch, 0, n);
        int length = window.length();
        int done = 0;
        for (int bit = 1; bit <= length; bit *= 2) {
            if ((length & bit) != 0) {
                if (done == 0) {
                    System.arraycopy(stretch, 0, match, 0, n);
                } else {
                    System.arraycopy(stretch, done, shifted, 0, n - done);
                    add(match, shifted, n - done);
                }
                done += bit;
            }
            if (2 * bit <= length) {
                System.arraycopy(stretch, bit, shifted, 0, n - bit);
                add(stretch, shifted, n - bit);
            }
        }
        BlockSums.divide(match, sums.known, sums.size);
    }

    private void write(
            float[] sound,
            int from,
            int to,
            float[] slope,
            float[] slopeDeviation,
            float[] meanMatch) {
        System.arraycopy(sums.slope, from, slope, to, rows);
        System.arraycopy(deviation, from, slopeDeviation, to, rows);
        System.arraycopy(match, from, meanMatch, 0, rows);
        for (int r = 0; r < rows; r++) {
            if (sound[from + r] >= 0) {
                continue;
            }
            if (!sums.knowsEnough(from + r)) {
                slope[to + r] = Float.NaN;
                slopeDeviation[to + r] = Float.NaN;
                meanMatch[r] = 0;
                continue;
            }
            double each = sums.refit(lines, 0, from + r, 1, window.half());
            slope[to + r] = (float) (each / window.spacing());
            double error = variance.predictOne(lines, lines.origin + from + r, sums);
            slopeDeviation[to + r] = (float) (error / window.spacing());
        }
    }

    private static void add(float[] sum, float[] a, int n) {
        for (int i = 0; i < n; i++) {
            sum[i] += a[i];
        }
    }

    private static void perMetre(float[] slope, float[] deviation, float factor, int n) {
        for (int i = 0; i < n; i++) {
            slope[i] *= factor;
            deviation[i] *= factor;
        }
    }
}
