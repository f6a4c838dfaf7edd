package org.elasto.recordings.hdf5;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import org.elasto.recordings.array.ElementType;
import org.elasto.recordings.array.StoredArray;

/** A small data set that stands in its own header. */
final class BufferArray extends StoredArray {

    private final ByteBuffer bytes;
    private final ByteOrder order;

    BufferArray(String label, ElementType type, int[] shape, ByteBuffer bytes, ByteOrder order)
            throws IOException {
        super(label, type, shape);
        this.bytes = bytes;
        this.order = order;
        long expected = slabSize(-1) * type.bytes();
        if (bytes.remaining() != expected) {
            throw new IOException(
                    label + ": expected " + expected + " bytes, found " + bytes.remaining());
        }
    }

    @Override
    public ByteOrder order() {
        return order;
    }

    @Override
    public void readSlab(int axis, int index, ByteBuffer target) {
        int inner = type().bytes();
        int outer = 1;
        for (int i = 0; i < rank(); i++) {
            if (i < axis) {
                outer *= size(i);
            } else if (i > axis) {
                inner *= size(i);
            }
        }
        int places = axis < 0 ? 1 : size(axis);
        for (int o = 0; o < outer; o++) {
            int at = bytes.position() + (o * places + index) * inner;
            target.put(target.position(), bytes, at, inner);
            target.position(target.position() + inner);
        }
    }
}
