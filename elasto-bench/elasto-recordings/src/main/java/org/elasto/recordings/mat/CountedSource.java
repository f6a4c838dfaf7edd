package org.elasto.recordings.mat;

import java.io.EOFException;
import java.io.IOException;
import us.hebi.matlab.mat.types.AbstractSource;

/**
 * Bytes for the library's reader. Knows how many were read, and how far the last request got before
 * the bytes ended, so that what was read before an early end is not lost.
 */
abstract class CountedSource extends AbstractSource {

    private long position;
    private boolean sizeIsNext;
    private byte[] cutTarget;
    private int cutLength;

    CountedSource() {
        super(1 << 13);
    }

    /** Reads some bytes; -1 at the end. */
    abstract int readSome(byte[] buffer, int offset, int length) throws IOException;

    /** What the end is called in a message. */
    abstract String end();

    @Override
    public final void readBytes(byte[] buffer, int offset, int length) throws IOException {
        int done = 0;
        while (done < length) {
            int read;
            try {
                read = readSome(buffer, offset + done, length - done);
            } catch (EOFException e) {
                read = -1;
            }
            if (read < 0) {
                cutTarget = buffer;
                cutLength = offset + done;
                throw new EOFException(
                        "expected " + length + " bytes, found " + done + " before " + end());
            }
            done += read;
            position += read;
        }
    }

    @Override
    public final long getPosition() {
        return position;
    }

    final void advance(long bytes) {
        position += bytes;
    }

    @Override
    public final boolean isMutatedByChildren() {
        return true;
    }

    /** The largest size that a part of the variable can have. */
    abstract long largest();

    /**
     * The reader fetches single integers for its tags only: a type, then a size, unless the type is
     * packed together with a small size. Absurd sizes are refused here, before memory is asked for.
     */
    @Override
    public final int readInt() throws IOException {
        int value = super.readInt();
        if (sizeIsNext && Integer.toUnsignedLong(value) > largest()) {
            throw new IOException(
                    "expected a part of at most "
                            + largest()
                            + " bytes, found a size of "
                            + Integer.toUnsignedLong(value));
        }
        sizeIsNext = !sizeIsNext && value >> 16 == 0;
        return value;
    }

    /** Whether a request ended early. */
    final boolean isCut() {
        return cutTarget != null;
    }

    /** How many bytes an array got from a request that ended early; -1 if it was another's. */
    final int cutLength(byte[] target) {
        return cutTarget == target ? cutLength : -1;
    }
}
