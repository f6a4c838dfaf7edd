package org.elasto.recordings.array;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.Arrays;

/**
 * A numeric array in a file, of which a part can be read at a time. Its axes are numbered from the
 * slowest varying (0) to the fastest varying in the file.
 *
 * <p>Not thread-safe.
 */
public abstract class StoredArray {

    private final String label;
    private final ElementType type;
    private final int[] shape;

    /**
     * For subclasses.
     *
     * @param label file and array for messages
     * @param type type of the elements
     * @param shape sizes of the axes, from slowest to fastest varying
     */
    protected StoredArray(String label, ElementType type, int[] shape) {
        this.label = label;
        this.type = type;
        this.shape = shape.clone();
    }

    /**
     * File and array.
     *
     * @return a label for messages
     */
    public final String label() {
        return label;
    }

    /**
     * Type of the elements.
     *
     * @return the type
     */
    public final ElementType type() {
        return type;
    }

    /**
     * Sizes of the axes.
     *
     * @return the sizes, from the slowest to the fastest varying axis
     */
    public final int[] shape() {
        return shape.clone();
    }

    /**
     * Number of axes.
     *
     * @return the rank
     */
    public final int rank() {
        return shape.length;
    }

    /**
     * Size of one axis.
     *
     * @param axis axis number
     * @return number of elements along it
     */
    public final int size(int axis) {
        return shape[axis];
    }

    /**
     * Number of elements of the array at one place of an axis.
     *
     * @param axis axis number, or -1 for the whole array
     * @return product of the sizes of all other axes
     */
    public final long slabSize(int axis) {
        long size = 1;
        for (int i = 0; i < shape.length; i++) {
            size = i == axis ? size : Math.multiplyExact(size, (long) shape[i]);
        }
        return size;
    }

    /**
     * Byte order of what {@link #readSlab} delivers.
     *
     * @return the order
     */
    public abstract ByteOrder order();

    /**
     * Number of places along axis 0 that lie within the file. Smaller than the size of the axis if
     * the file ends early; a place may still turn out to be damaged when it is read.
     *
     * @return from 0 to the size of axis 0
     */
    public int available() {
        return shape[0];
    }

    /**
     * Reads everything at one place of an axis; the other axes keep their order.
     *
     * @param axis axis number, or -1 for the whole array
     * @param index place along the axis
     * @param target receives the elements from its position on
     * @throws IOException if they cannot be read, naming the file, what was expected and found, and
     *     where
     */
    public abstract void readSlab(int axis, int index, ByteBuffer target) throws IOException;

    /**
     * Reads the whole array as numbers.
     *
     * @return the elements, the fastest varying axis contiguous
     * @throws IOException as {@link #readSlab}, or if the array is too large for an array in memory
     */
    public final double[] readNumbers() throws IOException {
        ByteBuffer bytes = newBuffer(-1);
        readSlab(-1, 0, bytes);
        double[] numbers = new double[bytes.capacity() / type.bytes()];
        for (int i = 0; i < numbers.length; i++) {
            numbers[i] = type.number(bytes, i);
        }
        return numbers;
    }

    /**
     * Memory for one place of an axis.
     *
     * @param axis axis number, or -1 for the whole array
     * @return a buffer in the right byte order
     * @throws IOException if it would be larger than an array can be, or than there is memory
     */
    public final ByteBuffer newBuffer(int axis) throws IOException {
        long bytes = slabSize(axis) * type.bytes();
        if (bytes > Integer.MAX_VALUE - 8) {
            throw new IOException(
                    label
                            + ": "
                            + bytes
                            + " bytes would have to be read at once (shape "
                            + Arrays.toString(shape)
                            + ", "
                            + type.label()
                            + "); at most 2147483639 can");
        }
        try {
            return ByteBuffer.allocate((int) bytes).order(order());
        } catch (OutOfMemoryError e) {
            throw new IOException(
                    label
                            + ": "
                            + bytes
                            + " bytes do not fit into the memory that the Java machine may use ("
                            + Runtime.getRuntime().maxMemory()
                            + " bytes; see -Xmx)",
                    e);
        }
    }
}
