package org.elasto.recordings.mat;

import java.io.EOFException;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.util.zip.Inflater;
import java.util.zip.InflaterInputStream;
import us.hebi.matlab.mat.types.Source;

/** A file as if it held one variable only: the file's header, then that variable. */
final class VariableSource extends CountedSource {

    /** Deflate packs at most 1032 to 1. */
    private static final long BEST_PACKING = 1032;

    private final FileChannel channel;
    private final byte[] header;
    private final long start;
    private final long end;
    private final long largest;
    private final boolean verify;
    private Inflated inflated;

    /**
     * A source.
     *
     * @param channel the open file
     * @param header the file's header
     * @param start byte offset of the variable's tag
     * @param end byte offset where it ends, or where the file does
     * @param largest the variable's size according to its tag
     * @param verify whether a compressed variable is read to its end, so that its checksum can be
     *     verified
     */
    VariableSource(
            FileChannel channel,
            byte[] header,
            long start,
            long end,
            long largest,
            boolean verify) {
        this.channel = channel;
        this.header = header;
        this.start = start;
        this.end = end;
        this.largest = largest;
        this.verify = verify;
    }

    /** Byte offset in the file of the next byte. */
    long fileOffset() {
        return Math.min(end, start + Math.max(0, getPosition() - header.length));
    }

    /** How many bytes an array got before the variable ended early; -1 if all or none. */
    int cut(byte[] target) {
        return Math.max(cutLength(target), inflated == null ? -1 : inflated.cutLength(target));
    }

    @Override
    String end() {
        return "byte offset " + end;
    }

    @Override
    long largest() {
        return largest;
    }

    @Override
    int readSome(byte[] buffer, int offset, int length) throws IOException {
        return read(getPosition(), buffer, offset, length);
    }

    private int read(long position, byte[] buffer, int offset, int length) throws IOException {
        if (position < header.length) {
            int count = (int) Math.min(length, header.length - position);
            System.arraycopy(header, (int) position, buffer, offset, count);
            return count;
        }
        long at = start + position - header.length;
        int count = (int) Math.min(length, end - at);
        return count <= 0 ? -1 : channel.read(ByteBuffer.wrap(buffer, offset, count), at);
    }

    /** Skipping costs nothing, since the file is read by position. */
    @Override
    public void skip(long bytes) throws IOException {
        if (isCut()) {
            return; // the reader only tidies up; what it failed at is told already
        }
        if (fileOffset() + bytes > end && getPosition() >= header.length) {
            throw new EOFException("expected " + bytes + " more bytes before " + end());
        }
        advance(bytes);
    }

    @Override
    protected InputStream readBytesAsStream(long bytes) {
        long limit = getPosition() + bytes;
        return new InputStream() {
            @Override
            public int read() throws IOException {
                byte[] one = new byte[1];
                return read(one, 0, 1) < 0 ? -1 : one[0] & 0xff;
            }

            @Override
            public int read(byte[] buffer, int offset, int length) throws IOException {
                int wanted = (int) Math.min(length, limit - getPosition());
                int count =
                        wanted <= 0
                                ? -1
                                : VariableSource.this.read(getPosition(), buffer, offset, wanted);
                if (count > 0) {
                    advance(count);
                }
                return count;
            }
        };
    }

    @Override
    public Source readInflated(int bytes, int bufferSize) {
        inflated = new Inflated(readBytesAsStream(Integer.toUnsignedLong(bytes)));
        inflated.order(order());
        return inflated;
    }

    @Override
    public void close() {}

    /** The contents of a compressed variable. */
    private final class Inflated extends CountedSource {

        private final Inflater inflater = new Inflater();
        private final InputStream stream;

        Inflated(InputStream packed) {
            stream = new InflaterInputStream(packed, inflater, 1 << 16);
        }

        @Override
        String end() {
            return "the compressed data end at byte offset " + fileOffset();
        }

        @Override
        long largest() {
            return BEST_PACKING * largest;
        }

        @Override
        int readSome(byte[] buffer, int offset, int length) throws IOException {
            return stream.read(buffer, offset, length);
        }

        @Override
        protected InputStream readBytesAsStream(long bytes) throws IOException {
            throw new IOException("expected a variable, found compressed data within such");
        }

        /** The end of the data must be there as well, since the checksum stands behind it. */
        @Override
        public void close() throws IOException {
            try {
                if (verify && !isCut() && stream.read() >= 0) {
                    throw new IOException("expected the variable to end, found more data");
                }
            } finally {
                inflater.end();
            }
        }
    }
}
