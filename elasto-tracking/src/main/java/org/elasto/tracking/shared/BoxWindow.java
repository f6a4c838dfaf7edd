package org.elasto.tracking.shared;

import java.util.Arrays;
import org.elasto.api.DisplacementField;

/**
 * Sums in a rectangular window of an odd number of samples by an odd number of lines, by running
 * sums: the cost does not depend on the size of the window. What lies beyond the ends of a line or
 * beyond the first and last line counts as 0.
 *
 * <p>First each line by itself into a plane, then across the lines, a stretch of depth at a time.
 * Sums run in double: adding and taking away floats leaves no trace unless their sizes differ by
 * more than nine digits.
 *
 * <p>Immutable and thread-safe.
 */
public final class BoxWindow {

    private final int halfLength;
    private final int halfWidth;

    /**
     * A window of about a size.
     *
     * @param length samples along the line, rounded to the nearest odd number
     * @param width lines, rounded to the nearest odd number
     * @param samples samples a line, which the half-length stays below
     * @param lines number of lines, which the half-width stays below
     */
    public BoxWindow(double length, double width, int samples, int lines) {
        halfLength = half(length, samples);
        halfWidth = half(width, lines);
    }

    private static int half(double size, int most) {
        return (int) Math.max(0, Math.min(most - 1, Math.round((size - 1) / 2)));
    }

    /**
     * Samples along the line.
     *
     * @return the length, odd
     */
    public int length() {
        return 2 * halfLength + 1;
    }

    /**
     * Lines.
     *
     * @return the width, odd
     */
    public int width() {
        return 2 * halfWidth + 1;
    }

    /**
     * Completes a judged field for windows that reach over the ends. Where a window does not fit
     * into the depth of the frame its mean belongs to another depth: unknown. At the outermost
     * lines fewer lines are averaged, and the deviations are larger.
     *
     * @param field the field, whose deviations hold for whole windows
     * @param rowStep samples from row to row of the field
     * @param samples samples a line
     */
    public void complete(DisplacementField field, int rowStep, int samples) {
        int rows = field.rows();
        int lines = field.lines();
        for (int line = 0; line < lines; line++) {
            int used = Math.min(lines - 1, line + halfWidth) - Math.max(0, line - halfWidth) + 1;
            float factor = (float) Math.sqrt((double) Math.min(width(), lines) / used);
            for (int row = 0; row < rows; row++) {
                int n = row * rowStep;
                int at = line * rows + row;
                if (n < halfLength || n >= samples - halfLength) {
                    field.markUnknown(at);
                    continue;
                }
                field.axialDeviation()[at] *= factor;
                if (field.lateral() != null) {
                    field.lateralDeviation()[at] *= factor;
                }
            }
        }
    }

    /**
     * Sums along a line.
     *
     * @param in the line
     * @param at index of its first element
     * @param out receives the sums; another array than the line
     * @param to index of the first sum
     * @param n elements
     */
    public void sumAlong(float[] in, int at, float[] out, int to, int n) {
        int half = halfLength;
        double sum = 0;
        for (int k = 0; k < Math.min(half, n); k++) {
            sum += in[at + k];
        }
        int whole = Math.max(0, Math.min(n, n - half));
        int begin = Math.min(half + 1, whole);
        for (int k = 0; k < begin; k++) {
            sum += in[at + k + half];
            out[to + k] = (float) sum;
        }
        for (int k = begin; k < whole; k++) {
            sum += (double) in[at + k + half] - in[at + k - half - 1];
            out[to + k] = (float) sum;
        }
        for (int k = whole; k < n; k++) {
            sum -= k > half ? in[at + k - half - 1] : 0;
            out[to + k] = (float) sum;
        }
    }

    /**
     * Moves sums across the lines on to a line. To be called for line 0, 1, 2 and so on.
     *
     * @param plane sums along the lines, {@code line * stride + n}
     * @param stride distance from line to line in the plane
     * @param lines number of lines
     * @param line the line to move on to
     * @param first first sample of the stretch
     * @param n samples of the stretch
     * @param sums for line 0: anything; later: what the call before left. Receives the sums of the
     *     stretch from index 0 on
     */
    public void slideAcross(
            float[] plane, int stride, int lines, int line, int first, int n, double[] sums) {
        if (line == 0) {
            Arrays.fill(sums, 0, n, 0.0);
            for (int l = 0; l < Math.min(halfWidth, lines); l++) {
                add(plane, l * stride + first, n, sums);
            }
        }
        int enters = line + halfWidth;
        if (enters < lines) {
            add(plane, enters * stride + first, n, sums);
        }
        int leaves = line - halfWidth - 1;
        if (leaves >= 0) {
            subtract(plane, leaves * stride + first, n, sums);
        }
    }

    private static void add(float[] plane, int at, int n, double[] sums) {
        for (int k = 0; k < n; k++) {
            sums[k] += plane[at + k];
        }
    }

    private static void subtract(float[] plane, int at, int n, double[] sums) {
        for (int k = 0; k < n; k++) {
            sums[k] -= plane[at + k];
        }
    }
}
