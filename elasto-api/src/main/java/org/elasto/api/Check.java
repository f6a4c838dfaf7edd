package org.elasto.api;

import java.util.Objects;

/**
 * Argument checks whose messages name the parameter, the value and what is allowed.
 *
 * <p>Stateless and thread-safe.
 */
public final class Check {

    private Check() {}

    /**
     * Checks that a value is finite and greater than zero.
     *
     * @param name what the value is, as the caller knows it
     * @param value the value
     * @param unit unit symbol for the message, empty for none
     * @return the value
     * @throws IllegalArgumentException if the value is NaN, infinite, zero or negative
     */
    public static double positive(String name, double value, String unit) {
        if (!(value > 0) || Double.isInfinite(value)) {
            throw new IllegalArgumentException(
                    name
                            + " is "
                            + value
                            + suffix(unit)
                            + "; it must be finite and greater than 0");
        }
        return value;
    }

    /**
     * Checks that a value lies within a closed range.
     *
     * @param name what the value is
     * @param value the value
     * @param min smallest allowed value
     * @param max largest allowed value
     * @param unit unit symbol for the message, empty for none
     * @return the value
     * @throws IllegalArgumentException if the value is NaN or outside the range
     */
    public static double range(String name, double value, double min, double max, String unit) {
        if (!(value >= min && value <= max)) {
            throw new IllegalArgumentException(
                    name
                            + " is "
                            + value
                            + suffix(unit)
                            + "; it must be from "
                            + min
                            + " to "
                            + max);
        }
        return value;
    }

    /**
     * Checks that a whole number lies within a closed range.
     *
     * @param name what the value is
     * @param value the value
     * @param min smallest allowed value
     * @param max largest allowed value
     * @return the value
     * @throws IllegalArgumentException if the value is outside the range
     */
    public static int range(String name, int value, int min, int max) {
        if (value < min || value > max) {
            throw new IllegalArgumentException(
                    name + " is " + value + "; it must be from " + min + " to " + max);
        }
        return value;
    }

    /**
     * Checks that an array holds what is about to be read from or written to it. The sizes are
     * multiplied as long, so that large frames cannot overflow.
     *
     * @param name what the array is
     * @param length length of the array
     * @param offset index of the first element used
     * @param lines number of lines
     * @param stride distance from the start of one line to the start of the next
     * @param perLine elements used of each line
     * @throws IllegalArgumentException if the offset is negative, the stride is smaller than a
     *     line, or the last line ends behind the end of the array
     */
    public static void layout(
            String name, int length, int offset, int lines, int stride, int perLine) {
        if (offset < 0) {
            throw new IllegalArgumentException(
                    name + ": offset is " + offset + "; it must not be negative");
        }
        if (stride < perLine) {
            throw new IllegalArgumentException(
                    name
                            + ": line stride is "
                            + stride
                            + "; it must be at least the "
                            + perLine
                            + " samples of a line");
        }
        long end = offset + (lines - 1L) * stride + perLine;
        if (end > length) {
            throw new IllegalArgumentException(
                    name
                            + " has "
                            + length
                            + " elements; "
                            + lines
                            + " lines of "
                            + perLine
                            + " with stride "
                            + stride
                            + " from offset "
                            + offset
                            + " need "
                            + end);
        }
    }

    /**
     * Checks that two sizes agree.
     *
     * @param name what is compared
     * @param actual size found
     * @param expected size needed
     * @throws IllegalArgumentException if they differ
     */
    public static void same(String name, Object actual, Object expected) {
        if (!Objects.equals(actual, expected)) {
            throw new IllegalArgumentException(name + " is " + actual + "; expected " + expected);
        }
    }

    /**
     * Checks that two whole numbers agree. Allocates nothing when they do.
     *
     * @param name what is compared
     * @param actual number found
     * @param expected number needed
     * @throws IllegalArgumentException if they differ
     */
    public static void same(String name, int actual, int expected) {
        if (actual != expected) {
            throw new IllegalArgumentException(name + " is " + actual + "; expected " + expected);
        }
    }

    private static String suffix(String unit) {
        return unit.isEmpty() ? "" : " " + unit;
    }
}
