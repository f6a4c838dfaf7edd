package org.elasto.recordings.metaimage;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.array.ElementType;

/**
 * The header of a MetaImage file, as far as samples need it. Further keys are kept, so that a file
 * can give scan parameters by name.
 *
 * <p>Immutable and thread-safe.
 */
public final class MetaImageHeader {

    /** The last key of a header. */
    private static final String DATA_FILE = "ElementDataFile";

    private static final int LARGEST_HEADER = 1 << 16;

    private final String file;
    private final Map<String, String> values = new LinkedHashMap<>();
    private final long length;

    private MetaImageHeader(String file, byte[] start) throws IOException {
        this.file = file;
        int at = 0;
        while (!values.containsKey(DATA_FILE)) {
            int end = at;
            while (end < start.length && start[end] != '\n') {
                end++;
            }
            if (end == start.length) {
                throw new IOException(
                        file
                                + ": expected a header of lines 'Key = Value' that ends with "
                                + DATA_FILE
                                + ", found none within "
                                + start.length
                                + " bytes");
            }
            addLine(new String(start, at, end - at, StandardCharsets.ISO_8859_1), at);
            at = end + 1;
        }
        length = at;
    }

    private void addLine(String line, int at) throws IOException {
        if (line.isBlank()) {
            return;
        }
        int equals = line.indexOf('=');
        if (equals < 1) {
            throw new IOException(
                    file
                            + ": expected a line 'Key = Value' at byte offset "
                            + at
                            + ", found '"
                            + line.substring(0, Math.min(40, line.length())).strip()
                            + "'");
        }
        values.put(line.substring(0, equals).strip(), line.substring(equals + 1).strip());
    }

    /**
     * Reads a header.
     *
     * @param path the file
     * @return what it says
     * @throws IOException if there is none, with what was expected and found
     */
    public static MetaImageHeader read(Path path) throws IOException {
        byte[] start;
        try (InputStream in = Files.newInputStream(path)) {
            start = in.readNBytes(LARGEST_HEADER);
        }
        return new MetaImageHeader(path.toString(), start);
    }

    /**
     * Whether a file is named as MetaImage files are.
     *
     * @param path the file
     * @return true for {@code .mha} and {@code .mhd}
     */
    public static boolean recognises(Path path) {
        String name = path.getFileName().toString().toLowerCase(Locale.ROOT);
        return name.endsWith(".mha") || name.endsWith(".mhd");
    }

    /**
     * Number of bytes that the header takes; in a {@code .mha} file samples follow.
     *
     * @return the number
     */
    public long length() {
        return length;
    }

    /**
     * Where the samples are.
     *
     * @return name of a file, or LOCAL for this one
     * @throws IOException if they are spread over several files
     */
    public String dataFile() throws IOException {
        String name = values.get(DATA_FILE);
        if (name.startsWith("LIST") || name.contains("%")) {
            throw new IOException(
                    file
                            + ": expected "
                            + DATA_FILE
                            + " to be LOCAL or the name of one file, found '"
                            + name
                            + "'; put the samples into one file");
        }
        return name;
    }

    /**
     * Whether the samples are compressed by deflate.
     *
     * @return true if they are
     * @throws IOException if the header says neither True nor False
     */
    public boolean compressed() throws IOException {
        return flag("CompressedData", false);
    }

    /**
     * Byte order of the samples.
     *
     * @return the order
     * @throws IOException if the header says neither True nor False
     */
    public ByteOrder order() throws IOException {
        boolean big = flag("ElementByteOrderMSB", flag("BinaryDataByteOrderMSB", false));
        return big ? ByteOrder.BIG_ENDIAN : ByteOrder.LITTLE_ENDIAN;
    }

    /**
     * Bytes before the samples in a file of their own.
     *
     * @return the number; -1 if the samples are at the end of the file
     * @throws IOException if the header gives no such number
     */
    public long skippedBytes() throws IOException {
        return whole("HeaderSize", values.getOrDefault("HeaderSize", "0"), -1);
    }

    /**
     * Type and shape of the samples.
     *
     * @return them, the sizes in the order of {@code DimSize}: fastest varying first
     * @throws IOException if the header does not say, or the samples are text or of several
     *     channels
     */
    public ArrayInfo info() throws IOException {
        if (!flag("BinaryData", true)) {
            throw new IOException(file + ": expected BinaryData = True, found samples as text");
        }
        String channels = values.getOrDefault("ElementNumberOfChannels", "1");
        if (!channels.equals("1")) {
            throw new IOException(
                    file + ": expected ElementNumberOfChannels = 1, found " + channels);
        }
        String type = needed("ElementType");
        String[] sizes = needed("DimSize").split("\\s+");
        long axes = whole("NDims", needed("NDims"), 1);
        if (axes != sizes.length) {
            throw new IOException(
                    file
                            + ": expected the "
                            + axes
                            + " sizes of NDims in DimSize, found '"
                            + needed("DimSize")
                            + "'");
        }
        int[] shape = new int[sizes.length];
        for (int i = 0; i < shape.length; i++) {
            long size = whole("DimSize", sizes[i], 1);
            if (size > Integer.MAX_VALUE) {
                throw new IOException(file + ": DimSize is " + size + "; at most 2147483647");
            }
            shape[i] = (int) size;
        }
        return new ArrayInfo("image", type, element(type), shape);
    }

    /**
     * A number that the file gives by name.
     *
     * @param name the key
     * @return the number, or NaN if there is none of that name
     * @throws IOException if the value is no number
     */
    public double number(String name) throws IOException {
        String text = values.get(name);
        if (text == null) {
            return Double.NaN;
        }
        try {
            return Double.parseDouble(text);
        } catch (NumberFormatException e) {
            throw new IOException(
                    file + ": expected a number for " + name + ", found '" + text + "'", e);
        }
    }

    private String needed(String key) throws IOException {
        String value = values.get(key);
        if (value == null || value.isEmpty()) {
            throw new IOException(
                    file
                            + ": expected "
                            + key
                            + " in the header of a MetaImage file, found: "
                            + String.join(", ", values.keySet()));
        }
        return value;
    }

    private boolean flag(String key, boolean otherwise) throws IOException {
        String text = values.getOrDefault(key, otherwise ? "True" : "False");
        if (!text.equalsIgnoreCase("True") && !text.equalsIgnoreCase("False")) {
            throw new IOException(
                    file + ": expected True or False for " + key + ", found '" + text + "'");
        }
        return text.equalsIgnoreCase("True");
    }

    private long whole(String key, String text, long least) throws IOException {
        try {
            long value = Long.parseLong(text);
            if (value >= least) {
                return value;
            }
        } catch (NumberFormatException e) {
            // Said below.
        }
        throw new IOException(
                file
                        + ": expected a whole number of at least "
                        + least
                        + " for "
                        + key
                        + ", found '"
                        + text
                        + "'");
    }

    private static ElementType element(String type) {
        return switch (type) {
            case "MET_CHAR" -> ElementType.INT8;
            case "MET_UCHAR" -> ElementType.UINT8;
            case "MET_SHORT" -> ElementType.INT16;
            case "MET_USHORT" -> ElementType.UINT16;
            case "MET_INT" -> ElementType.INT32;
            case "MET_UINT" -> ElementType.UINT32;
            case "MET_FLOAT" -> ElementType.FLOAT32;
            case "MET_DOUBLE" -> ElementType.FLOAT64;
            default -> null;
        };
    }
}
