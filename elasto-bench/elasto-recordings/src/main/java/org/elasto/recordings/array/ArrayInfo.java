package org.elasto.recordings.array;

import java.util.Arrays;
import java.util.stream.Collectors;

/**
 * What a file tells about one of its arrays. Immutable and thread-safe.
 *
 * @param name name or path of the array in its file
 * @param type name of its type in messages, such as {@code int16} or {@code complex double}
 * @param element its element type, or null if it is none that can hold RF samples
 * @param shape its sizes as the file's own language writes them
 */
public record ArrayInfo(String name, String type, ElementType element, int[] shape) {

    public ArrayInfo {
        shape = shape.clone();
    }

    @Override
    public int[] shape() {
        return shape.clone();
    }

    /**
     * Whether the array looks like frames: real numbers of a known type, on three axes, or on two
     * of at least two elements each (scalars and vectors have two axes in MAT-files).
     *
     * @return true if it does
     */
    public boolean holdsFrames() {
        int smallest = shape.length == 3 ? 1 : 2;
        return element != null
                && (shape.length == 2 || shape.length == 3)
                && Arrays.stream(shape).allMatch(size -> size >= smallest);
    }

    /**
     * Whether the array is a single real number.
     *
     * @return true if it is
     */
    public boolean isScalar() {
        return element != null && Arrays.stream(shape).allMatch(size -> size == 1);
    }

    /**
     * The shape for messages.
     *
     * @return such as {@code 2337 x 128 x 8}
     */
    public String shapeText() {
        return shape.length == 0
                ? "scalar"
                : Arrays.stream(shape).mapToObj(String::valueOf).collect(Collectors.joining(" x "));
    }

    @Override
    public String toString() {
        return name + " (" + shapeText() + ", " + type + ")";
    }
}
