package org.elasto.recordings.npy;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.stream.Collectors;

/**
 * Writes arrays as {@code .npy} (format version 1.0, C order, little-endian), as {@code numpy.load}
 * reads them. Stateless and thread-safe.
 */
public final class NpyWriter {

    private static final int ALIGNMENT = 64;

    private NpyWriter() {}

    /**
     * Writes 32-bit floats.
     *
     * @param out receives the file's bytes; stays open
     * @param values the elements, the last axis fastest
     * @param shape sizes of the axes
     * @throws IOException if that fails
     * @throws IllegalArgumentException if the shape has another number of elements
     */
    public static void write(OutputStream out, float[] values, int... shape) throws IOException {
        check(values.length, shape);
        header(out, "<f4", shape);
        ByteBuffer bytes =
                ByteBuffer.allocate(values.length * Float.BYTES).order(ByteOrder.LITTLE_ENDIAN);
        bytes.asFloatBuffer().put(values);
        out.write(bytes.array());
    }

    /**
     * Writes 64-bit floats.
     *
     * @param out receives the file's bytes; stays open
     * @param values the elements, the last axis fastest
     * @param shape sizes of the axes
     * @throws IOException if that fails
     * @throws IllegalArgumentException if the shape has another number of elements
     */
    public static void write(OutputStream out, double[] values, int... shape) throws IOException {
        check(values.length, shape);
        header(out, "<f8", shape);
        ByteBuffer bytes =
                ByteBuffer.allocate(values.length * Double.BYTES).order(ByteOrder.LITTLE_ENDIAN);
        bytes.asDoubleBuffer().put(values);
        out.write(bytes.array());
    }

    /**
     * Writes truth values, a byte each.
     *
     * @param out receives the file's bytes; stays open
     * @param values the elements, the last axis fastest
     * @param shape sizes of the axes
     * @throws IOException if that fails
     * @throws IllegalArgumentException if the shape has another number of elements
     */
    public static void write(OutputStream out, boolean[] values, int... shape) throws IOException {
        check(values.length, shape);
        header(out, "|b1", shape);
        byte[] bytes = new byte[values.length];
        for (int i = 0; i < bytes.length; i++) {
            bytes[i] = (byte) (values[i] ? 1 : 0);
        }
        out.write(bytes);
    }

    private static void check(int length, int... shape) {
        long size = 1;
        for (int n : shape) {
            size *= n;
        }
        if (size != length) {
            throw new IllegalArgumentException(
                    "array has "
                            + length
                            + " elements; the shape "
                            + Arrays.toString(shape)
                            + " needs "
                            + size);
        }
    }

    /** The header is padded with blanks, so that the elements begin at a multiple of 64. */
    private static void header(OutputStream out, String type, int... shape) throws IOException {
        String sizes =
                Arrays.stream(shape).mapToObj(Integer::toString).collect(Collectors.joining(", "))
                        + (shape.length == 1 ? "," : ""); // as Python writes a tuple of one
        String text =
                "{'descr': '" + type + "', 'fortran_order': False, 'shape': (" + sizes + "), }";
        int fixed = NpyHeader.MAGIC.length + 4;
        int padded = (fixed + text.length() + ALIGNMENT) / ALIGNMENT * ALIGNMENT - fixed;
        out.write(NpyHeader.MAGIC);
        out.write(new byte[] {1, 0, (byte) padded, (byte) (padded >> 8)});
        out.write(
                (text + " ".repeat(padded - text.length() - 1) + "\n")
                        .getBytes(StandardCharsets.US_ASCII));
    }
}
