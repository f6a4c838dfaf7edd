package org.elasto.tracking.shared;

/**
 * The value that would stand at a place if an array were sorted, without sorting it all: {@code
 * java.util.Arrays.sort} takes memory for itself where it finds sorted runs, and tracking must not.
 * Stateless and thread-safe.
 */
final class Selection {

    private Selection() {}

    /**
     * The k-th smallest of the first values of an array (Hoare's selection), NaN above all others.
     *
     * @param values the values; reordered
     * @param n how many count, at least 1
     * @param k which one is wanted, from 0 and below n
     * @return the value
     */
    static float select(float[] values, int n, int k) {
        int low = 0;
        int high = n - 1;
        while (low < high) {
            float pivot = median(values[low], values[(low + high) >>> 1], values[high]);
            int i = low;
            int j = high;
            while (i <= j) {
                while (Float.compare(values[i], pivot) < 0) {
                    i++;
                }
                while (Float.compare(values[j], pivot) > 0) {
                    j--;
                }
                if (i <= j) {
                    float swap = values[i];
                    values[i++] = values[j];
                    values[j--] = swap;
                }
            }
            if (k <= j) {
                high = j;
            } else if (k >= i) {
                low = i;
            } else {
                return values[k];
            }
        }
        return values[k];
    }

    private static float median(float a, float b, float c) {
        if (Float.compare(a, b) > 0) {
            return median(b, a, c);
        }
        return Float.compare(c, a) < 0 ? a : Float.compare(c, b) < 0 ? c : b;
    }
}
