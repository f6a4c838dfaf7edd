package org.elasto.strain.picture;

import org.elasto.strain.shared.Selection;

/**
 * Finds the value that a share of some values do not exceed, in memory of its own. Not thread-safe.
 */
final class Percentile {

    private final double[] values;
    private int count;

    /** Room for so many values. */
    Percentile(int capacity) {
        values = new double[capacity];
    }

    void clear() {
        count = 0;
    }

    void add(float value) {
        values[count++] = value;
    }

    /**
     * The smallest of the values that at least a share of all do not exceed; NaN if there are none.
     */
    float of(double share) {
        if (count == 0) {
            return Float.NaN;
        }
        int wanted = (int) Math.ceil(share * count) - 1;
        return (float) Selection.select(values, count, Math.min(count - 1, Math.max(0, wanted)));
    }
}
