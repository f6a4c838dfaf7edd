package org.elasto.strain.shared;

/**
 * The value that would stand at a place if an array were sorted, without sorting it all (Hoare's
 * selection, 1961) and without memory. Stateless and thread-safe.
 */
public final class Selection {

    private Selection() {}

    /**
     * The upper median.
     *
     * @param values numbers, none of them NaN; reordered
     * @param count how many of them count, at least 1
     * @return what stands at place {@code count / 2} when they are sorted
     */
    public static double median(double[] values, int count) {
        return select(values, count, count / 2);
    }

    /**
     * The value at a place of the sorted order.
     *
     * @param values numbers, none of them NaN; reordered
     * @param count how many of them count, at least 1
     * @param wanted the place, from 0 and below the count
     * @return the value
     */
    public static double select(double[] values, int count, int wanted) {
        double[] v = values;
        int low = 0;
        int high = count - 1;
        while (low < high) {
            double a = v[low];
            double b = v[(low + high) >>> 1];
            double c = v[high];
            double pivot = Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
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
                    double swap = v[i];
                    v[i++] = v[j];
                    v[j--] = swap;
                }
            }
            if (wanted <= j) {
                high = j;
            } else if (wanted >= i) {
                low = i;
            } else {
                break;
            }
        }
        return v[wanted];
    }
}
