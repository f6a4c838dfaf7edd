package org.elasto.recordings.hdf5;

import io.jhdf.api.dataset.ChunkedDataset;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.Arrays;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.Map;
import org.elasto.recordings.array.ElementType;
import org.elasto.recordings.array.StoredArray;

/**
 * A chunked data set, read chunk by chunk.
 *
 * <p>jHDF 0.10.0 gives zeros without a word for slices beyond the first chunk of an axis, so slices
 * are put together here from whole chunks, which it finds rightly.
 *
 * <p>A chunk that was never written is an error here: HDF5 would have it read as a fill value, but
 * in a recording it is a place where samples are missing.
 */
final class ChunkedArray extends StoredArray {

    /** Unpacked chunks kept for the next frames, where a chunk spans several. */
    private static final long KEPT_BYTES = 64L << 20;

    private final String name;
    private final ByteOrder order;
    private final ChunkedDataset dataset;
    private final Hdf5Input input;
    private final int[] chunk;
    private final ChunkDecoder decoder;
    private final Map<Long, byte[]> kept = new LinkedHashMap<>(16, 0.75f, true);
    private long keptBytes;

    ChunkedArray(
            String label,
            String name,
            ElementType type,
            ByteOrder order,
            ChunkedDataset dataset,
            Hdf5Input input)
            throws IOException {
        super(label, type, dataset.getDimensions());
        this.name = name;
        this.order = order;
        this.dataset = dataset;
        this.input = input;
        this.chunk = dataset.getChunkDimensions();
        if (chunk.length != rank() || Arrays.stream(chunk).anyMatch(size -> size < 1)) {
            throw new IOException(
                    label
                            + ": expected chunks of "
                            + rank()
                            + " axes, found "
                            + Arrays.toString(chunk));
        }
        long bytes = type.bytes();
        for (int size : chunk) {
            bytes *= size;
            if (bytes > Integer.MAX_VALUE - 8) {
                throw new IOException(
                        label
                                + ": chunks of shape "
                                + Arrays.toString(chunk)
                                + " are larger than 2147483639 bytes, which HDF5 allows but an"
                                + " array in memory cannot hold");
            }
        }
        this.decoder = new ChunkDecoder(label, dataset, (int) bytes);
    }

    @Override
    public ByteOrder order() {
        return order;
    }

    @Override
    public void readSlab(int axis, int index, ByteBuffer target) throws IOException {
        if (slabSize(axis) == 0) {
            return;
        }
        int rank = rank();
        int[] at = new int[rank]; // first element of the chunk
        if (axis >= 0) {
            at[axis] = index / chunk[axis] * chunk[axis];
        }
        int base = target.position();
        while (true) {
            copy(unpacked(at, axis), at, axis, index, target, base);
            int i = rank - 1;
            while (i >= 0) {
                if (i != axis) {
                    at[i] += chunk[i];
                    if (at[i] < size(i) && at[i] > 0) {
                        break;
                    }
                    at[i] = 0;
                }
                i--;
            }
            if (i < 0) {
                break;
            }
        }
        target.position(base + Math.toIntExact(slabSize(axis) * type().bytes()));
    }

    private byte[] unpacked(int[] at, int axis) throws IOException {
        boolean keep = axis >= 0 && chunk[axis] > 1;
        long key = 0;
        for (int i = 0; i < at.length; i++) {
            key = key * ((size(i) - 1L) / chunk[i] + 1) + at[i] / chunk[i];
        }
        byte[] bytes = keep ? kept.get(key) : null;
        if (bytes == null) {
            int[] place = at.clone();
            bytes =
                    input.attempt(
                            "data set " + name + ", chunk at " + Arrays.toString(place),
                            () -> decoder.decode(place));
            if (keep) {
                kept.put(key, bytes);
                keptBytes += bytes.length;
                Iterator<byte[]> oldest = kept.values().iterator();
                while (keptBytes > KEPT_BYTES && kept.size() > 1) {
                    keptBytes -= oldest.next().length;
                    oldest.remove();
                }
            }
        }
        return bytes;
    }

    /** Copies what a chunk and the slab share, run by run along the last axis. */
    private void copy(byte[] bytes, int[] at, int axis, int index, ByteBuffer target, int base) {
        int rank = rank();
        int size = type().bytes();
        int[] first = new int[rank];
        int[] count = new int[rank];
        for (int i = 0; i < rank; i++) {
            first[i] = i == axis ? index - at[i] : 0;
            count[i] = i == axis ? 1 : Math.min(chunk[i], size(i) - at[i]);
        }
        int run = count[rank - 1] * size;
        int[] step = new int[rank];
        while (true) {
            int from = 0;
            int to = 0;
            for (int i = 0; i < rank; i++) {
                from = from * chunk[i] + first[i] + step[i];
                if (i != axis) {
                    to = to * size(i) + at[i] + step[i];
                }
            }
            target.put(base + to * size, bytes, from * size, run);
            int i = rank - 2;
            while (i >= 0 && ++step[i] == count[i]) {
                step[i--] = 0;
            }
            if (i < 0) {
                return;
            }
        }
    }
}
