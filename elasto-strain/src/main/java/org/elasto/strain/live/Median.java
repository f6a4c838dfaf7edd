package org.elasto.strain.live;

/** The middle one of many numbers, without sorting them all (Hoare's selection, 1961). */
final class Median {

    private Median() {}

    /**
     * The upper median.
     *
     * @param values numbers, none of them NaN; their order is changed
     * @param count how many of them, at least 1
     * @return what stands at place {@code count / 2} when they are sorted
     */
    static double of(double[] values, int count) {
        int wanted = count / 2;
        int low = 0;
        int high = count - 1;
        while (low < high) {
            double pivot = values[(low + high) >>> 1];
            int i = low;
            int j = high;
            while (i <= j) {
                while (values[i] < pivot) {
                    i++;
                }
                while (values[j] > pivot) {
                    j--;
                }
                if (i <= j) {
                    double swap = values[i];
                    values[i++] = values[j];
                    values[j--] = swap;
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
        return values[wanted];
    }
}
