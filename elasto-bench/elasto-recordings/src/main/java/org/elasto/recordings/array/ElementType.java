package org.elasto.recordings.array;

import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.Locale;
import java.util.stream.Collectors;
import org.elasto.api.SampleType;

/**
 * How one sample is stored in a file. Types that fit into 16-bit signed integers become {@link
 * SampleType#INT16} frames, all others {@link SampleType#FLOAT32} ones; 32-bit integers beyond
 * {@code 2^24} and 64-bit floats are rounded to the nearest float then.
 */
public enum ElementType {
    /** 8-bit signed integers. */
    INT8(1, SampleType.INT16),
    /** 8-bit unsigned integers. */
    UINT8(1, SampleType.INT16),
    /** 16-bit signed integers. */
    INT16(2, SampleType.INT16),
    /** 16-bit unsigned integers. */
    UINT16(2, SampleType.FLOAT32),
    /** 32-bit signed integers. */
    INT32(4, SampleType.FLOAT32),
    /** 32-bit unsigned integers. */
    UINT32(4, SampleType.FLOAT32),
    /** 32-bit floating point. */
    FLOAT32(4, SampleType.FLOAT32),
    /** 64-bit floating point. */
    FLOAT64(8, SampleType.FLOAT32);

    private final int bytes;
    private final SampleType sampleType;

    ElementType(int bytes, SampleType sampleType) {
        this.bytes = bytes;
        this.sampleType = sampleType;
    }

    /**
     * Size of one element.
     *
     * @return number of bytes
     */
    public int bytes() {
        return bytes;
    }

    /**
     * Type of the frames that hold such samples.
     *
     * @return INT16 where 16-bit signed integers hold every value, FLOAT32 otherwise
     */
    public SampleType sampleType() {
        return sampleType;
    }

    /**
     * Name of the type in messages.
     *
     * @return such as {@code int16}
     */
    public String label() {
        return name().toLowerCase(Locale.ROOT);
    }

    /**
     * The names of all types.
     *
     * @return the names, separated by commas
     */
    public static String labels() {
        return Arrays.stream(values()).map(ElementType::label).collect(Collectors.joining(", "));
    }

    /**
     * Converts elements to 16-bit integers.
     *
     * @param source the elements, in the buffer's byte order
     * @param first number of the first element in the buffer
     * @param stride distance from one element to the next, in elements
     * @param target receives the values from index 0 on
     * @param count how many
     * @throws IllegalStateException if the type does not fit into 16-bit integers
     */
    public void toShorts(ByteBuffer source, int first, int stride, short[] target, int count) {
        int step = stride * bytes;
        int at = first * bytes;
        switch (this) {
            case INT8 -> {
                for (int i = 0; i < count; i++, at += step) {
                    target[i] = source.get(at);
                }
            }
            case UINT8 -> {
                for (int i = 0; i < count; i++, at += step) {
                    target[i] = (short) (source.get(at) & 0xff);
                }
            }
            case INT16 -> {
                for (int i = 0; i < count; i++, at += step) {
                    target[i] = source.getShort(at);
                }
            }
            default -> throw new IllegalStateException(label() + " does not fit into int16");
        }
    }

    /**
     * Converts elements to floats.
     *
     * @param source the elements, in the buffer's byte order
     * @param first number of the first element in the buffer
     * @param stride distance from one element to the next, in elements
     * @param target receives the values from index 0 on
     * @param count how many
     */
    public void toFloats(ByteBuffer source, int first, int stride, float[] target, int count) {
        for (int i = 0, at = first; i < count; i++, at += stride) {
            target[i] = this == FLOAT32 ? source.getFloat(at * 4) : (float) number(source, at);
        }
    }

    /**
     * One element as a number.
     *
     * @param source the elements, in the buffer's byte order
     * @param index number of the element in the buffer
     * @return its value, exactly
     */
    public double number(ByteBuffer source, int index) {
        int at = index * bytes;
        return switch (this) {
            case INT8 -> source.get(at);
            case UINT8 -> source.get(at) & 0xff;
            case INT16 -> source.getShort(at);
            case UINT16 -> source.getShort(at) & 0xffff;
            case INT32 -> source.getInt(at);
            case UINT32 -> source.getInt(at) & 0xffffffffL;
            case FLOAT32 -> source.getFloat(at);
            case FLOAT64 -> source.getDouble(at);
        };
    }
}
