package org.elasto.recordings.hdf5;

import java.io.EOFException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.NonWritableChannelException;
import java.nio.channels.SeekableByteChannel;
import org.elasto.recordings.array.FileBytes;

/**
 * A file read from by jHDF. Reads whole buffers, so that no short read goes unnoticed, and
 * remembers where a read ran over the end. Since it cannot be mapped into memory, a file that
 * shrinks while it is open gives an exception and not a crash.
 */
final class WatchedChannel implements SeekableByteChannel {

    private final FileChannel channel;
    private long position;
    private String overrun;

    WatchedChannel(FileChannel channel) {
        this.channel = channel;
    }

    /** What the last read over the end of the file wanted, or null. */
    String overrun() {
        return overrun;
    }

    void forgetOverrun() {
        overrun = null;
    }

    @Override
    public int read(ByteBuffer target) throws IOException {
        int wanted = target.remaining();
        try {
            FileBytes.read(channel, position, target);
        } catch (EOFException e) {
            overrun = e.getMessage();
            throw e;
        }
        position += wanted;
        return wanted;
    }

    @Override
    public long position() {
        return position;
    }

    @Override
    public SeekableByteChannel position(long newPosition) {
        position = newPosition;
        return this;
    }

    @Override
    public long size() throws IOException {
        return channel.size();
    }

    @Override
    public int write(ByteBuffer source) {
        throw new NonWritableChannelException();
    }

    @Override
    public SeekableByteChannel truncate(long size) {
        throw new NonWritableChannelException();
    }

    @Override
    public boolean isOpen() {
        return channel.isOpen();
    }

    @Override
    public void close() throws IOException {
        channel.close();
    }
}
