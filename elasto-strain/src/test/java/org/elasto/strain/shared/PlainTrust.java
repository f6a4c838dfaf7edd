package org.elasto.strain.shared;

import org.elasto.api.DisplacementField;

/** The rule of trust, plainly written, for a known strain whose deviation is small enough. */
public final class PlainTrust {

    private PlainTrust() {}

    /** Whether a row itself allows trust, by its match or as part of a short gap. */
    public static boolean rowAllows(
            DisplacementField field, int line, int row, int half, double smallest) {
        int rows = field.rows();
        boolean[] known = new boolean[rows];
        boolean[] matches = new boolean[rows];
        for (int r = 0; r < rows; r++) {
            int i = line * rows + r;
            float c = field.correlation()[i];
            float d = field.axialDeviation()[i];
            known[r] = c > 0 && Float.isFinite(field.axial()[i]) && d >= 0 && d <= 1e-4f;
            matches[r] = known[r] && c >= (float) smallest;
        }
        if (known[row]) {
            return matches[row];
        }
        int above = row;
        while (above >= 0 && !known[above]) {
            above--;
        }
        int below = row;
        while (below < rows && !known[below]) {
            below++;
        }
        boolean isShort = below - above - 1 <= Math.max(1, half / 4);
        if (!isShort || above < 0 || below == rows || !matches[above] || !matches[below]) {
            return false;
        }
        int[] count = new int[2];
        for (int k = 1; k <= half; k++) {
            count[0] += row - k >= 0 && known[row - k] ? 1 : 0;
            count[1] += row + k < rows && known[row + k] ? 1 : 0;
        }
        return count[0] >= 0.75 * (above - (row - half) + 1)
                && count[1] >= 0.75 * (row + half - below + 1);
    }
}
