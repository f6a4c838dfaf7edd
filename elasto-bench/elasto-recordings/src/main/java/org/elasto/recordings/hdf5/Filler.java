package org.elasto.recordings.hdf5;

import java.io.IOException;
import java.nio.ByteBuffer;

/** Delivers the bytes of a data set when it is written. */
@FunctionalInterface
public interface Filler {

    /** Takes the bytes. */
    @FunctionalInterface
    interface Sink {
        /**
         * Writes bytes behind those that were written before.
         *
         * @param bytes what to write, from position to limit, in native byte order
         * @throws IOException if it cannot be written
         */
        void write(ByteBuffer bytes) throws IOException;
    }

    /**
     * Writes all elements, the last axis varying fastest.
     *
     * @param sink where to
     * @throws IOException if they cannot be fetched or written
     */
    void fill(Sink sink) throws IOException;
}
