package org.elasto.recordings.mat;

import java.io.Closeable;
import java.io.EOFException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.array.ElementType;
import org.elasto.recordings.array.FileBytes;
import org.elasto.recordings.array.StoredArray;
import us.hebi.matlab.mat.format.BufferAllocator;
import us.hebi.matlab.mat.format.Mat5;
import us.hebi.matlab.mat.format.Mat5Reader.EntryHeader;
import us.hebi.matlab.mat.types.MatFile;
import us.hebi.matlab.mat.types.MatlabType;
import us.hebi.matlab.mat.types.Matrix;

/**
 * A MAT-file of level 5 to read from.
 *
 * <p>Variables are found by the tags that stand between them, and each is read by itself. A
 * variable is read as a whole and kept in memory while its array is open: at most 2147483639 bytes,
 * and no more than the Java machine may use.
 *
 * <p>Not thread-safe.
 */
public final class MatInput implements Closeable {

    private static final String MAGIC = "MATLAB 5.0 MAT-file";
    private static final int HEADER_BYTES = 128;
    private static final int TAG_BYTES = 8;
    private static final int MATRIX = 14;
    private static final int COMPRESSED = 15;

    /** A variable and where it stands. */
    private record Variable(ArrayInfo info, MatlabType type, long start, long end, long expected) {}

    private final String file;
    private final FileChannel channel;
    private final byte[] header;
    private final ByteOrder order;
    private final List<Variable> variables = new ArrayList<>();
    private String damage;

    private MatInput(Path path) throws IOException {
        file = path.toString();
        channel = FileChannel.open(path, StandardOpenOption.READ);
        try {
            header = bytes(0, HEADER_BYTES);
            order = checkHeader();
            // The place of a subsystem, which is of no use here, is counted from the file's start.
            Arrays.fill(header, 116, 124, (byte) 0);
            findVariables();
        } catch (IOException e) {
            channel.close();
            throw e;
        }
    }

    /**
     * Whether a file starts as a MAT-file of level 5 does.
     *
     * @param path the file
     * @return true if it does; false also if the file cannot be read
     */
    public static boolean recognises(Path path) {
        try (FileChannel channel = FileChannel.open(path, StandardOpenOption.READ)) {
            ByteBuffer start = ByteBuffer.allocate(MAGIC.length());
            while (start.hasRemaining() && channel.read(start) > 0) {
                // until full or at the end
            }
            return new String(start.array(), StandardCharsets.US_ASCII).equals(MAGIC);
        } catch (IOException | RuntimeException e) {
            return false;
        }
    }

    /**
     * Opens a file.
     *
     * @param path the file
     * @return the open file
     * @throws IOException if it cannot be opened or is no MAT-file of level 5
     */
    public static MatInput open(Path path) throws IOException {
        return new MatInput(path);
    }

    private ByteOrder checkHeader() throws IOException {
        String text = new String(header, 0, 116, StandardCharsets.US_ASCII);
        if (!text.startsWith(MAGIC)) {
            boolean hdf5 = text.startsWith("MATLAB 7.3");
            throw new IOException(
                    file
                            + ": expected a MAT-file of level 5, starting with '"
                            + MAGIC
                            + "', found '"
                            + text.substring(0, MAGIC.length()).replaceAll("[^ -~]", "?")
                            + (hdf5 ? "'; a MAT-file of version 7.3 is an HDF5 file" : "'"));
        }
        String mark = new String(header, 126, 2, StandardCharsets.US_ASCII);
        if (mark.equals("IM")) {
            return ByteOrder.LITTLE_ENDIAN;
        }
        if (mark.equals("MI")) {
            return ByteOrder.BIG_ENDIAN;
        }
        throw new IOException(
                file
                        + ": expected the byte order mark IM or MI at byte offset 126, found bytes "
                        + header[126]
                        + " and "
                        + header[127]);
    }

    private byte[] bytes(long at, int count) throws IOException {
        ByteBuffer buffer = ByteBuffer.allocate(count);
        try {
            FileBytes.read(channel, at, buffer);
        } catch (EOFException e) {
            throw new IOException(file + ": " + e.getMessage(), e);
        }
        return buffer.array();
    }

    /** Walks from tag to tag; what follows a tag that makes no sense is lost. */
    private void findVariables() throws IOException {
        long size = channel.size();
        long at = HEADER_BYTES;
        while (at < size) {
            if (size - at < TAG_BYTES) {
                note("expected a tag of 8 bytes at byte offset " + at + ", but the file ends");
                return;
            }
            ByteBuffer tag = ByteBuffer.wrap(bytes(at, TAG_BYTES)).order(order);
            int type = tag.getInt(0);
            long length = Integer.toUnsignedLong(tag.getInt(4));
            if ((type != MATRIX && type != COMPRESSED) || length == 0) {
                note(
                        "expected a variable (tag 14 or 15) at byte offset "
                                + at
                                + ", found tag "
                                + type
                                + " of "
                                + length
                                + " bytes");
                return;
            }
            long next = at + TAG_BYTES + length;
            if (next > size) {
                note(
                        "expected a variable of "
                                + length
                                + " bytes at byte offset "
                                + at
                                + ", but the file ends at byte offset "
                                + size);
            }
            addVariable(at, Math.min(next, size), next);
            at = next;
        }
    }

    private void addVariable(long start, long end, long expected) {
        EntryHeader[] found = new EntryHeader[1];
        VariableSource source =
                new VariableSource(channel, header, start, end, expected - start, false);
        IOException failure = null;
        try {
            Mat5.newReader(source)
                    .setEntryFilter(
                            entry -> {
                                found[0] = entry;
                                return false;
                            })
                    .readMat();
        } catch (IOException e) {
            failure = e; // of no matter if the variable's head was read
        } catch (RuntimeException | AssertionError | StackOverflowError | OutOfMemoryError e) {
            failure = new IOException(e);
        }
        if (found[0] == null) {
            if (failure != null) {
                note(
                        "the variable at byte offset "
                                + start
                                + " cannot be read: "
                                + reason(failure));
            }
            return; // such as objects, which hold no samples
        }
        EntryHeader entry = found[0];
        if (!entry.getName().isEmpty()) {
            variables.add(new Variable(info(entry), entry.getType(), start, end, expected));
        }
    }

    private void note(String problem) {
        damage = damage == null ? file + ": " + problem : damage + "; " + problem;
    }

    private static ArrayInfo info(EntryHeader entry) {
        String type = entry.getType().toString();
        if (entry.isComplex()) {
            type = "complex " + type;
        } else if (entry.isLogical()) {
            type = "logical";
        }
        boolean real = !entry.isComplex() && !entry.isLogical();
        return new ArrayInfo(
                entry.getName(),
                type,
                real ? elementType(entry.getType()) : null,
                entry.getDimensions());
    }

    private static ElementType elementType(MatlabType type) {
        return switch (type) {
            case Int8 -> ElementType.INT8;
            case UInt8 -> ElementType.UINT8;
            case Int16 -> ElementType.INT16;
            case UInt16 -> ElementType.UINT16;
            case Int32 -> ElementType.INT32;
            case UInt32 -> ElementType.UINT32;
            case Single -> ElementType.FLOAT32;
            case Double -> ElementType.FLOAT64;
            default -> null;
        };
    }

    /**
     * The variables of the file that could be found.
     *
     * @return what is known of them
     */
    public List<ArrayInfo> arrays() {
        return variables.stream().map(Variable::info).toList();
    }

    /**
     * What is wrong with the file as a whole.
     *
     * @return what was expected and found, and where; empty if nothing is known to be wrong
     */
    public Optional<String> damage() {
        return Optional.ofNullable(damage);
    }

    /**
     * A scalar variable.
     *
     * @param name its name
     * @return its value, or NaN if there is none of that name
     * @throws IOException if it is no single finite number, or damaged
     */
    public double number(String name) throws IOException {
        for (Variable variable : variables) {
            if (variable.info().name().equals(name)) {
                if (!variable.info().isScalar()) {
                    throw new IOException(
                            file
                                    + ": expected "
                                    + name
                                    + " to be a single number, but found "
                                    + variable.info());
                }
                double value = ((MatArray) read(variable)).first();
                if (Double.isInfinite(value)) {
                    throw new IOException(
                            file + ": expected a finite " + name + ", but found " + value);
                }
                return value;
            }
        }
        return Double.NaN;
    }

    /**
     * Reads a variable into memory.
     *
     * @param name its name
     * @return the array; its axes are those of MATLAB in reverse order, since MATLAB's first index
     *     varies fastest
     * @throws IOException if there is none of that name, it is too large, or damaged before the end
     *     of its first place along the slowest axis
     */
    public StoredArray array(String name) throws IOException {
        for (Variable variable : variables) {
            if (variable.info().name().equals(name)) {
                return read(variable);
            }
        }
        throw new IOException(file + ": there is no variable " + name);
    }

    private StoredArray read(Variable variable) throws IOException {
        String label = file + ": variable " + variable.info().name();
        long elements = 1;
        for (int size : variable.info().shape()) {
            elements = size < 0 ? Long.MAX_VALUE : elements * size;
            if (elements > Integer.MAX_VALUE - 8) {
                throw new IOException(
                        label
                                + " is of shape "
                                + variable.info().shapeText()
                                + "; at most 2147483639 elements can be read from a MAT-file"
                                + " (HDF5 and raw files are read frame by frame)");
            }
        }
        Memory memory = new Memory(label);
        VariableSource source =
                new VariableSource(
                        channel,
                        header,
                        variable.start(),
                        variable.end(),
                        variable.expected() - variable.start(),
                        true);
        try {
            for (MatFile.Entry entry :
                    Mat5.newReader(source).setBufferAllocator(memory).readMat().getEntries()) {
                if (entry.getValue() instanceof Matrix matrix) {
                    return new MatArray(label, variable.info(), matrix);
                }
            }
            throw new IOException(label + ": expected numbers, found none");
        } catch (IOException e) {
            MatArray rest = beforeTheCut(label, variable, memory, source);
            if (rest != null) {
                return rest;
            }
            throw new IOException(
                    label
                            + ", bytes "
                            + variable.start()
                            + " to "
                            + variable.expected()
                            + ", cannot be read: "
                            + reason(e)
                            + " (reached byte offset "
                            + source.fileOffset()
                            + ")",
                    e);
        } catch (RuntimeException | AssertionError | StackOverflowError | OutOfMemoryError e) {
            throw new IOException(label + " cannot be read: " + reason(e), e);
        }
    }

    /**
     * What was read of a variable before the file ended, if that can be told for sure: the numbers
     * are stored in the size of their own type. (MATLAB may store them in a smaller one, and
     * singles as 32-bit integers.)
     */
    private MatArray beforeTheCut(
            String label, Variable variable, Memory memory, VariableSource source)
            throws IOException {
        ElementType type = variable.info().element();
        ByteBuffer bytes = memory.last;
        if (bytes == null || type == ElementType.FLOAT32 || type == null) {
            return null;
        }
        long elements =
                Arrays.stream(variable.info().shape()).asLongStream().reduce(1, (a, b) -> a * b);
        int length = source.cut(bytes.array());
        if (length < 0 || bytes.capacity() != elements * type.bytes()) {
            return null;
        }
        MatArray array = new MatArray(label, variable.info(), bytes.order(order), length);
        return array.available() > 0 ? array : null;
    }

    private static String reason(Throwable failure) {
        Throwable root = failure;
        while (root.getCause() != null && root.getCause() != root) {
            root = root.getCause();
        }
        return root.getMessage() == null ? root.getClass().getSimpleName() : root.getMessage();
    }

    /** Gives memory to the reader, and keeps hold of it. */
    private static final class Memory implements BufferAllocator {

        private final String label;
        private ByteBuffer last;

        Memory(String label) {
            this.label = label;
        }

        @Override
        public ByteBuffer allocate(int bytes) {
            if (bytes < 0) {
                throw new IllegalArgumentException(
                        Integer.toUnsignedLong(bytes)
                                + " bytes were asked for; at most 2147483639 can be read from a"
                                + " MAT-file (HDF5 and raw files are read frame by frame)");
            }
            try {
                last = ByteBuffer.allocate(bytes);
                return last;
            } catch (OutOfMemoryError e) {
                throw new IllegalArgumentException(
                        label
                                + " needs "
                                + bytes
                                + " bytes, which do not fit into the memory that the Java machine"
                                + " may use ("
                                + Runtime.getRuntime().maxMemory()
                                + " bytes; see -Xmx); HDF5 and raw files are read frame by frame",
                        e);
            }
        }

        @Override
        public void release(ByteBuffer buffer) {}
    }

    @Override
    public void close() throws IOException {
        channel.close();
    }
}
