package org.elasto.recordings.array;

import java.io.EOFException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;

/**
 * An array whose elements stand one after another in a region of a file: a raw file, or a
 * contiguous data set. Only what is asked for is read, so the file may be larger than memory. The
 * channel is the caller's to close.
 */
public final class RegionArray extends StoredArray {

    private static final int WINDOW_BYTES = 1 << 20;
    private static final int DIRECT_BYTES = 1 << 16;

    private final FileChannel channel;
    private final long start;
    private final ByteOrder order;
    private ByteBuffer window;
    private long windowStart;

    /**
     * An array in a file.
     *
     * @param label file and array for messages
     * @param type type of the elements
     * @param shape sizes of the axes, from slowest to fastest varying
     * @param channel the open file
     * @param start byte offset of the first element
     * @param order byte order of the elements
     */
    public RegionArray(
            String label,
            ElementType type,
            int[] shape,
            FileChannel channel,
            long start,
            ByteOrder order) {
        super(label, type, shape);
        this.channel = channel;
        this.start = start;
        this.order = order;
    }

    @Override
    public ByteOrder order() {
        return order;
    }

    /**
     * {@inheritDoc}
     *
     * @return whole places that lie before the end of the file
     */
    @Override
    public int available() {
        try {
            long whole = (channel.size() - start) / (slabSize(0) * type().bytes());
            return (int) Math.max(0, Math.min(size(0), whole));
        } catch (IOException e) {
            return size(0); // reading will say what is wrong
        }
    }

    @Override
    public void readSlab(int axis, int index, ByteBuffer target) throws IOException {
        long inner = 1;
        long outer = 1;
        for (int i = 0; i < rank(); i++) {
            if (i < axis) {
                outer *= size(i);
            } else if (i > axis) {
                inner *= size(i);
            }
        }
        long axisSize = axis < 0 ? 1 : size(axis);
        int bytes = Math.toIntExact(inner * type().bytes());
        window = null;
        for (long o = 0; o < outer; o++) {
            long at = start + (o * axisSize + index) * bytes;
            if (bytes >= DIRECT_BYTES) {
                target.limit(target.position() + bytes);
                readFully(at, target);
                target.limit(target.capacity());
            } else {
                copyThroughWindow(at, bytes, target);
            }
        }
    }

    /** Short runs come from a window over the file, so that not each costs a read of its own. */
    private void copyThroughWindow(long at, int bytes, ByteBuffer target) throws IOException {
        if (window == null || at < windowStart || at + bytes > windowStart + window.limit()) {
            if (window == null) {
                window = ByteBuffer.allocate(WINDOW_BYTES);
            }
            long left = Math.max(bytes, Math.min(WINDOW_BYTES, channel.size() - at));
            window.clear().limit((int) left);
            windowStart = at;
            readFully(at, window);
        }
        target.put(target.position(), window, (int) (at - windowStart), bytes);
        target.position(target.position() + bytes);
    }

    private void readFully(long at, ByteBuffer target) throws IOException {
        try {
            FileBytes.read(channel, at, target);
        } catch (EOFException e) {
            throw new IOException(label() + ": " + e.getMessage(), e);
        }
    }
}
