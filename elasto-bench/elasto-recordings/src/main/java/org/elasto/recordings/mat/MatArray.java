package org.elasto.recordings.mat;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.array.ElementType;
import org.elasto.recordings.array.StoredArray;
import us.hebi.matlab.mat.types.Matrix;

/** A variable in memory, or the part of one that was read before the file ended. */
final class MatArray extends StoredArray {

    /** The numbers, whatever type they are stored in; null if the variable is cut. */
    private final Matrix matrix;

    /** The stored bytes of a variable that is cut; null otherwise. */
    private final ByteBuffer bytes;

    private final int length;

    MatArray(String label, ArrayInfo info, Matrix matrix) {
        super(label, info.element(), reversed(info.shape()));
        this.matrix = matrix;
        this.bytes = null;
        this.length = Integer.MAX_VALUE;
    }

    MatArray(String label, ArrayInfo info, ByteBuffer bytes, int length) {
        super(label, info.element(), reversed(info.shape()));
        this.matrix = null;
        this.bytes = bytes;
        this.length = length;
    }

    private static int[] reversed(int[] shape) {
        int[] result = new int[shape.length];
        for (int i = 0; i < shape.length; i++) {
            result[i] = shape[shape.length - 1 - i];
        }
        return result;
    }

    double first() {
        return matrix == null ? type().number(bytes, 0) : matrix.getDouble(0);
    }

    @Override
    public ByteOrder order() {
        return ByteOrder.nativeOrder();
    }

    @Override
    public int available() {
        return matrix != null ? size(0) : (int) (length / (slabSize(0) * type().bytes()));
    }

    @Override
    public void readSlab(int axis, int index, ByteBuffer target) throws IOException {
        int inner = 1;
        int outer = 1;
        for (int i = 0; i < rank(); i++) {
            if (i < axis) {
                outer *= size(i);
            } else if (i > axis || axis < 0) {
                inner *= size(i);
            }
        }
        int places = axis < 0 ? 1 : size(axis);
        ElementType type = type();
        for (int o = 0; o < outer; o++) {
            int at = (o * places + index) * inner;
            if (matrix == null && (at + inner) * (long) type.bytes() > length) {
                throw new IOException(
                        label()
                                + ": expected "
                                + bytes.capacity()
                                + " bytes of samples, but the file ends after "
                                + length);
            }
            for (int i = 0; i < inner; i++) {
                put(target, type, at + i);
            }
        }
    }

    private void put(ByteBuffer target, ElementType type, int at) {
        switch (type) {
            case INT8, UINT8 -> target.put((byte) whole(type, at));
            case INT16, UINT16 -> target.putShort((short) whole(type, at));
            case INT32, UINT32 -> target.putInt((int) whole(type, at));
            case FLOAT32 -> target.putFloat((float) real(type, at));
            case FLOAT64 -> target.putDouble(real(type, at));
        }
    }

    private long whole(ElementType type, int at) {
        return matrix == null ? (long) type.number(bytes, at) : matrix.getLong(at);
    }

    private double real(ElementType type, int at) {
        return matrix == null ? type.number(bytes, at) : matrix.getDouble(at);
    }
}
