package org.elasto.strain.shared;

import java.util.Arrays;

/**
 * Arrays for loops over several of them at the same index. They are made one after the other and
 * take whole cache lines, so that they come to lie alike to these: once a loop has got to where one
 * array begins a cache line, its vector instructions straddle none in the others either, which
 * makes it quicker by up to a third. Collectors move what one array holds one after the other, too,
 * as long as nothing else refers to it: fetch the rows from the array they come in where they are
 * needed. Java promises nothing of the kind; only speed depends on it.
 */
public final class AlignedRows {

    /** Elements of four bytes that a cache line takes. */
    private static final int CACHE_LINE = 16;

    /** Those that the head of an array takes the room of. */
    private static final int HEAD = 4;

    private AlignedRows() {}

    /**
     * Makes arrays of floats.
     *
     * @param count how many
     * @param length elements that each is to have at least
     * @return the arrays, all 0, which may be up to 15 elements longer
     */
    public static float[][] ofFloats(int count, int length) {
        float[][] rows = new float[count][];
        Arrays.setAll(rows, i -> new float[padded(length)]);
        return rows;
    }

    /**
     * Makes arrays of integers.
     *
     * @param count how many
     * @param length elements that each is to have at least
     * @return the arrays, all 0, which may be up to 15 elements longer
     */
    public static int[][] ofIntegers(int count, int length) {
        int[][] rows = new int[count][];
        Arrays.setAll(rows, i -> new int[padded(length)]);
        return rows;
    }

    private static int padded(int length) {
        return (length + HEAD + CACHE_LINE - 1) / CACHE_LINE * CACHE_LINE - HEAD;
    }
}
