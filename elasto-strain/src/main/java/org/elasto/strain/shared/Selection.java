package org.elasto.strain.shared;

/**
 * The value that would stand at a place if an array were sorted, without sorting it all (Hoare's
 * selection, 1961, with Lomuto's partition and the ninther of Tukey 1978; from memory) and without
 * memory. Stateless and thread-safe.
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
            double pivot = pivot(v, low, high);
            int less = moveLess(v, low, high, pivot);
            if (wanted < less) {
                high = less - 1;
                continue;
            }
            // What is equal next, should there be many of it.
            int equal = moveEqual(v, less, high, pivot);
            if (wanted < equal) {
                return pivot;
            }
            // Ends even where there is a NaN against the rule, which is not equal to itself.
            low = Math.max(equal, less + 1);
        }
        return v[wanted];
    }

    /** The median of three, or of three such medians: near the middle though values rise. */
    private static double pivot(double[] v, int low, int high) {
        int middle = (low + high) >>> 1;
        int step = (high - low) / 8;
        if (step < 5) {
            return median(v[low], v[middle], v[high]);
        }
        return median(
                median(v[low], v[low + step], v[low + 2 * step]),
                median(v[middle - step], v[middle], v[middle + step]),
                median(v[high - 2 * step], v[high - step], v[high]));
    }

    private static double median(double a, double b, double c) {
        return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    }

    /**
     * Moves what is less than the pivot to the front. Without a branch on the values, which nobody
     * can predict: each is swapped, and counted if it belongs there.
     *
     * @return where the rest begins
     */
    private static int moveLess(double[] v, int low, int high, double pivot) {
        int end = low;
        for (int k = low; k <= high; k++) {
            double x = v[k];
            v[k] = v[end];
            v[end] = x;
            end += x < pivot ? 1 : 0;
        }
        return end;
    }

    /** The same for what is equal to the pivot, of which there is seldom much. */
    private static int moveEqual(double[] v, int low, int high, double pivot) {
        int end = low;
        for (int k = low; k <= high; k++) {
            double x = v[k];
            v[k] = v[end];
            v[end] = x;
            end += x == pivot ? 1 : 0;
        }
        return end;
    }
}
