package org.elasto.recordings.array;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;

/** An array that is in memory, or the part of one that was read before its file ended. */
public final class BufferArray extends StoredArray {

    private final ByteBuffer bytes;
    private final ByteOrder order;

    /**
     * An array in memory.
     *
     * @param label file and array for messages
     * @param type type of the elements
     * @param shape sizes of the axes, from slowest to fastest varying
     * @param bytes the elements, from position to limit; fewer than the shape says if the file
     *     ended early. Not copied.
     * @param order byte order of the elements
     */
    public BufferArray(
            String label, ElementType type, int[] shape, ByteBuffer bytes, ByteOrder order) {
        super(label, type, shape);
        this.bytes = bytes;
        this.order = order;
    }

    @Override
    public ByteOrder order() {
        return order;
    }

    /**
     * {@inheritDoc}
     *
     * @return whole places that are there
     */
    @Override
    public int available() {
        return (int) Math.min(size(0), bytes.remaining() / (slabSize(0) * type().bytes()));
    }

    @Override
    public void readSlab(int axis, int index, ByteBuffer target) throws IOException {
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
            long at = ((long) o * places + index) * inner;
            if (at + inner > bytes.remaining()) {
                throw new IOException(
                        label()
                                + ": expected "
                                + inner
                                + " bytes at byte "
                                + at
                                + " of the array, of which "
                                + bytes.remaining()
                                + " bytes are there");
            }
            target.put(target.position(), bytes, bytes.position() + (int) at, inner);
            target.position(target.position() + inner);
        }
    }
}
