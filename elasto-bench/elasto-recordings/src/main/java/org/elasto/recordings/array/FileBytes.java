package org.elasto.recordings.array;

import java.io.EOFException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;

/** Reads stretches of a file as a whole. Stateless and thread-safe. */
public final class FileBytes {

    /** A channel copies through memory of its own of this size, and not of the whole request's. */
    private static final int SLICE = 1 << 20;

    private FileBytes() {}

    /**
     * Fills a buffer from a place in a file.
     *
     * @param channel the open file
     * @param at byte offset of the first byte
     * @param target receives as many bytes as remain in it
     * @throws EOFException if the file ends before, saying what was expected and found, and where;
     *     nothing is read then
     * @throws IOException if the file cannot be read
     */
    public static void read(FileChannel channel, long at, ByteBuffer target) throws IOException {
        int wanted = target.remaining();
        boolean beyond = at < 0 || at > channel.size() - wanted;
        int limit = target.limit();
        while (!beyond && target.position() < limit) {
            target.limit(Math.min(limit, target.position() + SLICE));
            long position = at + wanted - (limit - target.position());
            beyond = channel.read(target, position) < 0;
        }
        target.limit(limit);
        if (beyond) {
            throw new EOFException(
                    "expected "
                            + wanted
                            + " bytes at byte offset "
                            + at
                            + ", but the file ends at byte offset "
                            + channel.size());
        }
    }
}
