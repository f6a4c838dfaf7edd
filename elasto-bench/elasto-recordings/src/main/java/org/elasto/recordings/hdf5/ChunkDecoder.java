package org.elasto.recordings.hdf5;

import io.jhdf.api.dataset.ChunkedDataset;
import io.jhdf.exceptions.HdfException;
import io.jhdf.filter.PipelineFilterWithData;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.List;
import java.util.zip.DataFormatException;
import java.util.zip.Inflater;

/**
 * Turns a chunk as it stands in the file into its elements.
 *
 * <p>The filters that nearly every file uses are undone here, with their checks: deflate to exactly
 * the size of a chunk (its checksum is verified), shuffle, and the Fletcher checksum, which jHDF
 * leaves unverified. Other filters are left to jHDF.
 */
final class ChunkDecoder {

    private static final int DEFLATE = 1;
    private static final int SHUFFLE = 2;
    private static final int FLETCHER = 3;
    private static final int LZF = 32000;

    private final String label;
    private final ChunkedDataset dataset;
    private final int size;
    private List<PipelineFilterWithData> filters;

    ChunkDecoder(String label, ChunkedDataset dataset, int size) {
        this.label = label;
        this.dataset = dataset;
        this.size = size;
    }

    /**
     * The elements of a chunk.
     *
     * @param at indices of its first element
     * @throws IOException if it is missing or damaged
     */
    byte[] decode(int[] at) throws IOException {
        if (filters == null) {
            filters = dataset.getFilters();
        }
        ByteBuffer stored;
        try {
            stored = dataset.getRawChunkBuffer(at);
        } catch (HdfException e) {
            if (e.getCause() == null && e.getMessage().startsWith("No chunk")) {
                throw damaged(at, "expected samples, but the chunk was never written", e);
            }
            throw e;
        }
        byte[] bytes = new byte[stored.remaining()];
        stored.get(bytes);
        for (int i = filters.size() - 1; i >= 0; i--) {
            PipelineFilterWithData filter = filters.get(i);
            switch (filter.getId()) {
                case FLETCHER -> bytes = verified(at, bytes);
                case DEFLATE -> bytes = inflated(at, bytes, i == 0 || noChecksumBefore(i));
                case SHUFFLE -> bytes = unshuffled(at, bytes, filter.getFilterData());
                default -> {
                    // LZF leaves alone what it cannot make smaller.
                    if (filter.getId() != LZF || bytes.length != size) {
                        return sized(at, dataset.getDecompressedChunk(at));
                    }
                }
            }
        }
        return sized(at, bytes);
    }

    /** Whether what comes out of filter i has the plain size of a chunk. */
    private boolean noChecksumBefore(int i) {
        return filters.subList(0, i).stream().allMatch(filter -> filter.getId() == SHUFFLE);
    }

    private byte[] sized(int[] at, byte[] bytes) throws IOException {
        if (bytes.length != size) {
            throw damaged(
                    at, "expected " + size + " bytes of samples, found " + bytes.length, null);
        }
        return bytes;
    }

    private byte[] inflated(int[] at, byte[] packed, boolean plain) throws IOException {
        // Deflate packs at most 1032 to 1, so an absurd size shows before memory is asked for.
        int most = plain ? size : size + 4;
        if (most > 1040L * packed.length + 1024) {
            throw damaged(
                    at,
                    "expected " + most + " bytes out of " + packed.length + " compressed ones",
                    null);
        }
        byte[] bytes = new byte[most];
        Inflater inflater = new Inflater();
        try {
            inflater.setInput(packed);
            int length = 0;
            while (!inflater.finished()) {
                int read =
                        length < most
                                ? inflater.inflate(bytes, length, most - length)
                                : inflater.inflate(new byte[1]);
                length += read;
                if (length > most || (read == 0 && !inflater.finished())) {
                    throw damaged(
                            at,
                            "expected compressed data of "
                                    + most
                                    + " bytes, found "
                                    + (length > most ? "more" : "an end after " + length),
                            null);
                }
            }
            return length == most ? bytes : Arrays.copyOf(bytes, length);
        } catch (DataFormatException e) {
            throw damaged(
                    at,
                    "expected compressed data, found "
                            + e.getMessage()
                            + " after "
                            + inflater.getBytesRead()
                            + " of "
                            + packed.length
                            + " bytes",
                    e);
        } finally {
            inflater.end();
        }
    }

    private byte[] unshuffled(int[] at, byte[] bytes, int[] data) throws IOException {
        int width = data.length == 0 ? 0 : data[0];
        if (width < 1 || width > size) {
            throw damaged(at, "expected a shuffle of whole elements, found width " + width, null);
        }
        byte[] out = bytes.clone(); // a rest that is no whole element stays as it is
        int elements = bytes.length / width;
        for (int i = 0, from = 0; i < width; i++) {
            for (int j = 0; j < elements; j++) {
                out[j * width + i] = bytes[from++];
            }
        }
        return out;
    }

    private byte[] verified(int[] at, byte[] bytes) throws IOException {
        int length = bytes.length - 4;
        if (length < 0) {
            throw damaged(at, "expected a checksum of 4 bytes, found " + bytes.length, null);
        }
        int stored = 0;
        for (int i = 3; i >= 0; i--) {
            stored = stored << 8 | bytes[length + i] & 0xff;
        }
        int sum = fletcher32(bytes, length);
        // Early HDF5 libraries on big-endian machines swapped the bytes of each half.
        int swapped = (sum & 0x00ff00ff) << 8 | sum >>> 8 & 0x00ff00ff;
        if (stored != sum && stored != swapped) {
            throw damaged(
                    at, String.format("expected checksum %08x, found %08x", stored, sum), null);
        }
        return Arrays.copyOf(bytes, length);
    }

    /** Fletcher's checksum over big-endian 16-bit words, as the HDF5 format defines it. */
    private static int fletcher32(byte[] bytes, int length) {
        long low = 0;
        long high = 0;
        for (int i = 0; i < length; i += 2) {
            int next = i + 1 < length ? bytes[i + 1] & 0xff : 0;
            low += (bytes[i] & 0xff) << 8 | next;
            high += low;
            if ((i & 0x1ff) == 0) {
                low = fold(low);
                high = fold(high);
            }
        }
        return (int) (fold(fold(fold(high))) << 16 | fold(fold(fold(low))));
    }

    private static long fold(long sum) {
        return (sum & 0xffff) + (sum >>> 16);
    }

    private IOException damaged(int[] at, String what, Exception cause) {
        return new IOException(label + ", chunk at " + Arrays.toString(at) + ": " + what, cause);
    }
}
