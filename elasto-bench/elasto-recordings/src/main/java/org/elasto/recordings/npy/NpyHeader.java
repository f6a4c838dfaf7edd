package org.elasto.recordings.npy;

import java.io.EOFException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.array.ElementType;
import org.elasto.recordings.array.FileBytes;

/**
 * The header of a {@code .npy} file: format versions 1.0, 2.0 and 3.0 of the NumPy reference,
 * {@code numpy.lib.format}. Immutable and thread-safe.
 *
 * @param info type and shape as NumPy writes them
 * @param order byte order of the elements
 * @param fortranOrder whether the first index varies fastest in the file
 * @param start byte offset of the first element
 */
public record NpyHeader(ArrayInfo info, ByteOrder order, boolean fortranOrder, long start) {

    static final byte[] MAGIC = {(byte) 0x93, 'N', 'U', 'M', 'P', 'Y'};
    private static final int LARGEST_HEADER = 1 << 20;

    private static final Pattern TYPE =
            Pattern.compile("['\"]descr['\"]\\s*:\\s*(?:['\"]([^'\"]*)['\"]|(\\[))");
    private static final Pattern FORTRAN =
            Pattern.compile("['\"]fortran_order['\"]\\s*:\\s*(True|False)");
    private static final Pattern SHAPE = Pattern.compile("['\"]shape['\"]\\s*:\\s*\\(([^)]*)\\)");

    /**
     * Whether a file begins as a {@code .npy} file does.
     *
     * @param path the file
     * @return true if it does; false too if it cannot be read
     */
    public static boolean recognises(Path path) {
        try (var in = Files.newInputStream(path)) {
            return Arrays.equals(in.readNBytes(MAGIC.length), MAGIC);
        } catch (IOException e) {
            return false;
        }
    }

    /**
     * Reads the header.
     *
     * @param file the file for messages
     * @param channel the open file
     * @return what it says
     * @throws IOException if it is damaged or of another kind, with what was expected and found
     */
    public static NpyHeader read(String file, FileChannel channel) throws IOException {
        ByteBuffer head = bytes(file, channel, 0, MAGIC.length + 2);
        if (!Arrays.equals(head.array(), 0, MAGIC.length, MAGIC, 0, MAGIC.length)) {
            throw new IOException(
                    file + ": expected the six bytes \\x93NUMPY at byte offset 0 of a .npy file");
        }
        int version = head.get(MAGIC.length);
        if (version < 1 || version > 3) {
            throw new IOException(
                    file + ": expected .npy format version 1, 2 or 3, found " + version);
        }
        int sizeBytes = version == 1 ? Short.BYTES : Integer.BYTES;
        ByteBuffer size = bytes(file, channel, head.capacity(), sizeBytes);
        long length =
                version == 1
                        ? Short.toUnsignedLong(size.getShort(0))
                        : Integer.toUnsignedLong(size.getInt(0));
        long at = head.capacity() + sizeBytes;
        if (length > LARGEST_HEADER) {
            throw new IOException(
                    file
                            + ": expected a header of at most "
                            + LARGEST_HEADER
                            + " bytes, found a size of "
                            + length
                            + " at byte offset "
                            + head.capacity());
        }
        String text =
                new String(bytes(file, channel, at, (int) length).array(), StandardCharsets.UTF_8);
        return parse(file, text, at + length);
    }

    private static ByteBuffer bytes(String file, FileChannel channel, long at, int count)
            throws IOException {
        ByteBuffer target = ByteBuffer.allocate(count).order(ByteOrder.LITTLE_ENDIAN);
        try {
            FileBytes.read(channel, at, target);
        } catch (EOFException e) {
            throw new IOException(file + ": header of a .npy file: " + e.getMessage(), e);
        }
        return target;
    }

    private static NpyHeader parse(String file, String text, long start) throws IOException {
        Matcher type = find(file, text, TYPE, "descr");
        boolean fortran = find(file, text, FORTRAN, "fortran_order").group(1).equals("True");
        String sizes = find(file, text, SHAPE, "shape").group(1);
        String name = type.group(1) == null ? "a structure" : type.group(1);
        ByteOrder order =
                switch (name.charAt(0)) {
                    case '>' -> ByteOrder.BIG_ENDIAN;
                    case '=' -> ByteOrder.nativeOrder();
                    default -> ByteOrder.LITTLE_ENDIAN;
                };
        return new NpyHeader(
                new ArrayInfo("array", name, element(name), shape(file, sizes)),
                order,
                fortran,
                start);
    }

    private static Matcher find(String file, String text, Pattern pattern, String key)
            throws IOException {
        Matcher matcher = pattern.matcher(text);
        if (!matcher.find() || (matcher.group(1) != null && matcher.group(1).isEmpty())) {
            String found = text.strip();
            throw new IOException(
                    file
                            + ": expected '"
                            + key
                            + "' in the header of a .npy file, found: "
                            + found.substring(0, Math.min(100, found.length())));
        }
        return matcher;
    }

    private static int[] shape(String file, String sizes) throws IOException {
        String[] words =
                Arrays.stream(sizes.split(","))
                        .map(String::trim)
                        .filter(w -> !w.isEmpty())
                        .toArray(String[]::new);
        int[] shape = new int[words.length];
        for (int i = 0; i < shape.length; i++) {
            try {
                shape[i] = Integer.parseInt(words[i]);
            } catch (NumberFormatException e) {
                throw new IOException(
                        file
                                + ": expected sizes from 0 to 2147483647 in the shape of a .npy"
                                + " file, found ("
                                + sizes
                                + ")",
                        e);
            }
        }
        return shape;
    }

    /** The type that NumPy writes as byte order, kind and size; null for those not known. */
    private static ElementType element(String name) {
        return switch (name.replaceFirst("^[<>|=]", "")) {
            case "i1" -> ElementType.INT8;
            case "u1" -> ElementType.UINT8;
            case "i2" -> ElementType.INT16;
            case "u2" -> ElementType.UINT16;
            case "i4" -> ElementType.INT32;
            case "u4" -> ElementType.UINT32;
            case "f4" -> ElementType.FLOAT32;
            case "f8" -> ElementType.FLOAT64;
            default -> null;
        };
    }

    /**
     * The shape as the elements lie in the file.
     *
     * @return sizes from the slowest to the fastest varying axis
     */
    public int[] storedShape() {
        int[] shape = info.shape();
        if (fortranOrder) {
            for (int i = 0, j = shape.length - 1; i < j; i++, j--) {
                int size = shape[i];
                shape[i] = shape[j];
                shape[j] = size;
            }
        }
        return shape;
    }
}
