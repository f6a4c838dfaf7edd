package org.elasto.strain.shared;

import java.util.Arrays;

/**
 * The same as {@link Selection} for many values, by counting: values are counted by sign and
 * exponent, those near the wanted place once more by their leading digits, and only the few that
 * are left are put in order. Two passes without a branch that depends on the values, where a
 * selection guesses wrong at every other comparison.
 *
 * <p>Workspace; not thread-safe; allocates nothing after it is made.
 */
public final class CountedSelection {

    /** Bits of a double below sign and exponent, and below the digits of the second count. */
    private static final int EXPONENT = 52;

    private static final int DIGITS = 44;

    private static final int FINE = 1 << (EXPONENT - DIGITS);

    private final int[] coarse = new int[1 << (Long.SIZE - EXPONENT)];

    /** First what lies below the exponent, last what lies above. */
    private final int[] fine = new int[FINE + 2];

    private final double[] left;

    /**
     * Room for some values.
     *
     * @param most most values that are asked about
     */
    public CountedSelection(int most) {
        left = new double[most];
    }

    /**
     * The upper median.
     *
     * @param values numbers, none of them NaN; not changed
     * @param count how many of them count, at least 1
     * @return what stands at place {@code count / 2} when they are sorted
     */
    public double median(double[] values, int count) {
        int wanted = count / 2;
        int[] bins = coarse;
        Arrays.fill(bins, 0);
        for (int i = 0; i < count; i++) {
            bins[(int) (ordered(values[i]) >> EXPONENT) + bins.length / 2]++;
        }
        int exponent = 0;
        int before = 0;
        while (before + bins[exponent] <= wanted) {
            before += bins[exponent++];
        }
        long base = (long) (exponent - bins.length / 2) << (EXPONENT - DIGITS);
        int[] digits = fine;
        Arrays.fill(digits, 0);
        for (int i = 0; i < count; i++) {
            digits[digit(values[i], base)]++;
        }
        int digit = 0;
        before = 0;
        while (before + digits[digit] <= wanted) {
            before += digits[digit++];
        }
        int n = 0;
        for (int i = 0; i < count; i++) {
            if (digit(values[i], base) == digit) {
                left[n++] = values[i];
            }
        }
        return Selection.select(left, n, wanted - before);
    }

    /** A number that is larger where the value is. */
    private static long ordered(double value) {
        long bits = Double.doubleToRawLongBits(value);
        return bits ^ (bits >> (Long.SIZE - 1) & Long.MAX_VALUE);
    }

    private static int digit(double value, long base) {
        return (int) Math.max(0, Math.min(FINE + 1, (ordered(value) >> DIGITS) - base + 1));
    }
}
