package org.elasto.strain.picture;

/**
 * Finds the value that a share of some values do not exceed, in memory of its own. Not thread-safe.
 */
final class Percentile {

    private final float[] values;
    private int count;

    /** Room for so many values. */
    Percentile(int capacity) {
        values = new float[capacity];
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
        return select(Math.min(count - 1, Math.max(0, wanted)));
    }

    /** Quickselect with the median of three as pivot (Hoare, 1961). */
    private float select(int wanted) {
        float[] v = values;
        int low = 0;
        int high = count - 1;
        while (low < high) {
            float a = v[low];
            float b = v[(low + high) >>> 1];
            float c = v[high];
            float pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
            int i = low;
            int j = high;
            while (i <= j) {
                while (v[i] < pivot) {
                    i++;
                }
                while (v[j] > pivot) {
                    j--;
                }
                if (i <= j) {
                    float swap = v[i];
                    v[i++] = v[j];
                    v[j--] = swap;
                }
            }
            if (wanted <= j) {
                high = j;
            } else if (wanted >= i) {
                low = i;
            } else {
                return v[wanted];
            }
        }
        return v[wanted];
    }
}
