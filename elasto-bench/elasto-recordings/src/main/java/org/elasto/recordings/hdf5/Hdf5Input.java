package org.elasto.recordings.hdf5;

import io.jhdf.HdfFile;
import io.jhdf.api.Attribute;
import io.jhdf.api.Dataset;
import io.jhdf.api.Group;
import io.jhdf.api.Node;
import io.jhdf.api.dataset.ChunkedDataset;
import io.jhdf.api.dataset.ContiguousDataset;
import io.jhdf.dataset.DatasetBase;
import io.jhdf.nio.FileChannelFromSeekableByteChannel;
import io.jhdf.object.datatype.CompoundDataType;
import io.jhdf.object.datatype.DataType;
import io.jhdf.object.datatype.FixedPoint;
import io.jhdf.object.datatype.FloatingPoint;
import io.jhdf.object.datatype.OrderedDataType;
import io.jhdf.object.datatype.StringData;
import java.io.Closeable;
import java.io.IOException;
import java.lang.reflect.Array;
import java.nio.BufferUnderflowException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.array.BufferArray;
import org.elasto.recordings.array.ElementType;
import org.elasto.recordings.array.FileBytes;
import org.elasto.recordings.array.RegionArray;
import org.elasto.recordings.array.StoredArray;

/**
 * An HDF5 file to read from. Whatever goes wrong inside the library comes out as an IOException
 * that names the file.
 *
 * <p>Not thread-safe.
 */
public final class Hdf5Input implements Closeable {

    private static final byte[] SIGNATURE = {(byte) 0x89, 'H', 'D', 'F', '\r', '\n', 0x1a, '\n'};

    /**
     * Files up to this size are read from memory. jHDF asks for memory before it looks whether the
     * file holds as much, so that a damaged size costs up to 2 GB for a moment (or an
     * OutOfMemoryError, which is caught) in larger files; from memory it takes no copies.
     */
    private static final long IN_MEMORY = 16L << 20;

    /** Deeper nesting than anybody's file has; ends a walk through a damaged one. */
    private static final int DEEPEST = 32;

    private final String file;
    private final FileChannel channel;
    private final WatchedChannel watched;
    private final HdfFile hdf;
    private String damage;

    private Hdf5Input(Path path, long inMemory) throws IOException {
        file = path.toString();
        channel = FileChannel.open(path, StandardOpenOption.READ);
        watched = new WatchedChannel(channel);
        try {
            if (channel.size() <= inMemory) {
                ByteBuffer bytes = ByteBuffer.allocate((int) channel.size());
                FileBytes.read(channel, 0, bytes);
                hdf = attempt("the file's start", () -> HdfFile.fromByteBuffer(bytes.flip()));
            } else {
                hdf =
                        attempt(
                                "the file's start",
                                () -> new HdfFile(new FileChannelFromSeekableByteChannel(watched)));
            }
            damage = findDamage();
        } catch (IOException e) {
            channel.close();
            throw e;
        }
    }

    /**
     * Whether a file starts as an HDF5 file does: with the signature at byte 0, or behind a user
     * block of 512, 1024, … bytes.
     *
     * @param path the file
     * @return true if it does; false also if the file cannot be read
     */
    public static boolean recognises(Path path) {
        try (FileChannel channel = FileChannel.open(path, StandardOpenOption.READ)) {
            for (long at = 0; at < channel.size() && at <= 1 << 20; at = at == 0 ? 512 : 2 * at) {
                ByteBuffer start = ByteBuffer.allocate(SIGNATURE.length);
                while (start.hasRemaining() && channel.read(start, at + start.position()) > 0) {
                    // until full or at the end
                }
                if (java.util.Arrays.equals(start.array(), SIGNATURE)) {
                    return true;
                }
            }
        } catch (IOException | RuntimeException e) {
            return false;
        }
        return false;
    }

    /**
     * Opens a file.
     *
     * @param path the file
     * @return the open file
     * @throws IOException if it cannot be opened or is no HDF5 file
     */
    public static Hdf5Input open(Path path) throws IOException {
        return open(path, IN_MEMORY);
    }

    static Hdf5Input open(Path path, long inMemory) throws IOException {
        if (Files.isRegularFile(path) && !recognises(path)) {
            throw new IOException(
                    path
                            + ": expected an HDF5 file, but the signature 89 48 44 46 0D 0A 1A 0A"
                            + " stands neither at byte 0 nor at byte 512, 1024, ...");
        }
        return new Hdf5Input(path, inMemory);
    }

    private String findDamage() throws IOException {
        long expected =
                attempt(
                        "the superblock",
                        () -> hdf.getHdfBackingStorage().getSuperblock().getEndOfFileAddress());
        long size = channel.size();
        return expected <= size
                ? null
                : file
                        + ": expected "
                        + expected
                        + " bytes, but the file ends at byte offset "
                        + size;
    }

    /**
     * What is wrong with the file as a whole.
     *
     * @return that it is shorter than it should be; empty if nothing is known to be wrong
     */
    public Optional<String> damage() {
        return Optional.ofNullable(damage);
    }

    /**
     * The arrays of the file, in all groups; links are not followed.
     *
     * @return what is known of them
     * @throws IOException if the file's structure is damaged
     */
    public List<ArrayInfo> arrays() throws IOException {
        List<ArrayInfo> arrays = new ArrayList<>();
        attempt(
                "the list of data sets",
                () -> {
                    collect(hdf, 0, new HashSet<>(), arrays);
                    return null;
                });
        return arrays;
    }

    private static void collect(Group group, int depth, Set<Long> seen, List<ArrayInfo> arrays) {
        if (depth > DEEPEST || !seen.add(group.getAddress())) {
            return;
        }
        for (Node node : group.getChildren().values()) {
            if (node.isLink()) {
                continue;
            }
            if (node instanceof Dataset dataset) {
                arrays.add(info(dataset));
            } else if (node instanceof Group child) {
                collect(child, depth + 1, seen, arrays);
            }
        }
    }

    private static ArrayInfo info(Dataset dataset) {
        DataType type = dataset.getDataType();
        Attribute matlabClass = dataset.getAttribute("MATLAB_class");
        // Text and truth values of MATLAB are stored as integers.
        Object matlab = matlabClass == null ? "" : matlabClass.getData();
        boolean number = !"char".equals(matlab) && !"logical".equals(matlab);
        return new ArrayInfo(
                dataset.getPath(),
                number ? typeName(type) : matlab.toString(),
                number ? elementType(type) : null,
                dataset.getDimensions());
    }

    private static ElementType elementType(DataType type) {
        if (type instanceof FixedPoint whole) {
            if (whole.getBitOffset() != 0 || whole.getBitPrecision() != 8 * whole.getSize()) {
                return null;
            }
            return switch (whole.getSize()) {
                case 1 -> whole.isSigned() ? ElementType.INT8 : ElementType.UINT8;
                case 2 -> whole.isSigned() ? ElementType.INT16 : ElementType.UINT16;
                case 4 -> whole.isSigned() ? ElementType.INT32 : ElementType.UINT32;
                default -> null;
            };
        }
        if (type instanceof FloatingPoint real) {
            // The layouts of IEEE 754; nothing else is a Java float or double.
            if (real.getSize() == 4
                    && real.getMantissaSize() == 23
                    && real.getExponentSize() == 8) {
                return ElementType.FLOAT32;
            }
            if (real.getSize() == 8
                    && real.getMantissaSize() == 52
                    && real.getExponentSize() == 11) {
                return ElementType.FLOAT64;
            }
        }
        return null;
    }

    private static String typeName(DataType type) {
        int bits = 8 * type.getSize();
        if (type instanceof FixedPoint whole) {
            String packed =
                    whole.getBitPrecision() == bits
                            ? ""
                            : " of " + whole.getBitPrecision() + " bits";
            return (whole.isSigned() ? "int" : "uint") + bits + packed;
        }
        if (type instanceof FloatingPoint) {
            return "float" + bits;
        }
        if (type instanceof CompoundDataType compound) {
            List<String> members =
                    compound.getMembers().stream().map(member -> member.getName()).toList();
            boolean complex = members.equals(List.of("real", "imag"));
            return complex || members.equals(List.of("r", "i"))
                    ? "complex"
                    : "compound of " + String.join(", ", members);
        }
        return type instanceof StringData
                ? "text"
                : type.getClass()
                        .getSimpleName()
                        .replace("DataType", "")
                        .toLowerCase(java.util.Locale.ROOT);
    }

    /**
     * Opens an array.
     *
     * @param name its path
     * @return the array, which can be read while the file is open
     * @throws IOException if there is none of that path, or its type or layout cannot be read
     */
    public StoredArray array(String name) throws IOException {
        return attempt("data set " + name, () -> makeArray(name));
    }

    private StoredArray makeArray(String name) throws IOException {
        Dataset dataset = dataset(name);
        String label = file + ": data set " + name;
        ElementType type = elementType(dataset.getDataType());
        if (type == null) {
            throw new IOException(
                    label
                            + " is of type "
                            + typeName(dataset.getDataType())
                            + "; expected one of "
                            + ElementType.labels());
        }
        int[] shape = dataset.getDimensions();
        ByteOrder order = ((OrderedDataType) dataset.getDataType()).getByteOrder();
        if (dataset instanceof ChunkedDataset chunked) {
            return new ChunkedArray(label, name, type, order, chunked, this);
        }
        if (dataset instanceof ContiguousDataset contiguous) {
            if (dataset.getSize() > 0 && dataset.isEmpty()) {
                throw new IOException(label + ": expected samples, but none were ever written");
            }
            long start = contiguous.getDataAddress() + hdf.getUserBlockSize();
            return new RegionArray(label, type, shape, channel, start, order);
        }
        ByteBuffer bytes = ((DatasetBase) dataset).getDataBuffer();
        BufferArray array = new BufferArray(label, type, shape, bytes, order);
        long expected = array.slabSize(-1) * type.bytes();
        if (bytes.remaining() != expected) {
            throw new IOException(
                    label + ": expected " + expected + " bytes, found " + bytes.remaining());
        }
        return array;
    }

    private Dataset dataset(String name) throws IOException {
        if (hdf.getByPath(name) instanceof Dataset dataset) {
            return dataset;
        }
        throw new IOException(file + ": " + name + " is not a data set");
    }

    /**
     * Whether there is an array of a path.
     *
     * @param name the path
     * @return true if there is
     * @throws IOException if the file's structure is damaged
     */
    public boolean contains(String name) throws IOException {
        return attempt("data set " + name, () -> hdf.getChild(name) instanceof Dataset);
    }

    /**
     * A number that the file gives with an array: as an attribute of it, as an attribute of the
     * root group, or as a scalar data set in the group of the array or in the root group; the first
     * that is there.
     *
     * @param array path of the array
     * @param name name of the number
     * @return its value, or NaN if there is none
     * @throws IOException if something of that name is there but is no single finite number
     */
    public double number(String array, String name) throws IOException {
        return attempt(name, () -> findNumber(array, name));
    }

    private double findNumber(String array, String name) throws IOException {
        Dataset dataset = dataset(array);
        for (Node node : List.of(dataset, hdf)) {
            Attribute attribute = node.getAttribute(name);
            if (attribute != null) {
                return single(name, attribute.getData(), attribute.getSize());
            }
        }
        Group parent = dataset.getParent();
        for (Group group : parent == null ? List.<Group>of(hdf) : List.of(parent, hdf)) {
            if (group.getChild(name) instanceof Dataset scalar) {
                long size = scalar.getSize();
                return single(name, size == 1 ? scalar.getData() : null, size);
            }
        }
        return Double.NaN;
    }

    private double single(String name, Object data, long size) throws IOException {
        Object value = data;
        while (size == 1 && value != null && value.getClass().isArray()) {
            value = Array.get(value, 0);
        }
        if (size != 1 || !(value instanceof Number number)) {
            throw new IOException(
                    file
                            + ": expected "
                            + name
                            + " to be a single number, but found "
                            + (size == 1 ? String.valueOf(value) : size + " elements"));
        }
        double result = number.doubleValue();
        if (Double.isInfinite(result)) {
            throw new IOException(file + ": expected a finite " + name + ", but found " + result);
        }
        return result;
    }

    /**
     * A text attribute of the root group.
     *
     * @param name its name
     * @return the text
     * @throws IOException if there is none of that name
     */
    public String text(String name) throws IOException {
        Object value =
                attempt(
                        name,
                        () -> {
                            Attribute attribute = hdf.getAttribute(name);
                            return attribute == null ? null : attribute.getData();
                        });
        if (value instanceof String text) {
            return text;
        }
        throw new IOException(
                file + ": expected a text attribute " + name + ", but found " + value);
    }

    /**
     * A number that is an attribute of the root group.
     *
     * @param name its name
     * @return the number; NaN if it is NaN
     * @throws IOException if there is none of that name
     */
    public double rootNumber(String name) throws IOException {
        return attempt(
                name,
                () -> {
                    Attribute attribute = hdf.getAttribute(name);
                    if (attribute == null) {
                        throw new IOException(file + ": expected an attribute " + name);
                    }
                    return single(name, attribute.getData(), attribute.getSize());
                });
    }

    /**
     * Whether the root group has an attribute.
     *
     * @param name its name
     * @return true if it has
     * @throws IOException if the file's structure is damaged
     */
    public boolean hasRootAttribute(String name) throws IOException {
        return attempt(name, () -> hdf.getAttribute(name) != null);
    }

    /**
     * Reads a small data set of 64-bit signed integers with two axes.
     *
     * @param name its path
     * @return its rows
     * @throws IOException if there is none of that path, or it is of another type
     */
    public long[][] longs(String name) throws IOException {
        return attempt("data set " + name, () -> readLongs(name));
    }

    private long[][] readLongs(String name) throws IOException {
        Dataset dataset = dataset(name);
        int[] shape = dataset.getDimensions();
        boolean longs =
                dataset.getDataType() instanceof FixedPoint whole
                        && whole.isSigned()
                        && whole.getSize() == Long.BYTES;
        if (!longs || shape.length != 2) {
            throw new IOException(
                    file
                            + ": expected data set "
                            + name
                            + " to be int64 with 2 axes, found "
                            + info(dataset));
        }
        return shape[0] == 0 ? new long[0][2] : (long[][]) dataset.getData();
    }

    /** Something that may fail inside the library. */
    @FunctionalInterface
    interface Attempt<T> {
        T run() throws IOException;
    }

    /**
     * Runs something that may fail inside the library, which meets damaged files with runtime
     * exceptions of all kinds, with endless recursion, or with a request for absurd amounts of
     * memory.
     */
    <T> T attempt(String what, Attempt<T> attempt) throws IOException {
        watched.forgetOverrun();
        try {
            return attempt.run();
        } catch (RuntimeException | StackOverflowError | OutOfMemoryError e) {
            throw new IOException(file + ": " + what + " cannot be read: " + reason(e), e);
        }
    }

    private String reason(Throwable failure) {
        if (watched.overrun() != null) {
            return watched.overrun();
        }
        if (failure instanceof StackOverflowError) {
            return "expected a tree, but the file's structure leads in circles";
        }
        if (failure instanceof OutOfMemoryError) {
            return "the file asks for more memory than there is";
        }
        Throwable root = failure;
        while (root.getCause() != null && root.getCause() != root) {
            root = root.getCause();
        }
        // What a buffer over the whole file says to a place behind the file's end.
        boolean beyond =
                root instanceof IllegalArgumentException
                        || root instanceof IndexOutOfBoundsException
                        || root instanceof BufferUnderflowException;
        String inner =
                (beyond ? "expected data at a place that the file does not have, " : "")
                        + (root.getMessage() == null
                                ? root.getClass().getSimpleName()
                                : root.getMessage());
        String outer = root == failure ? null : failure.getMessage();
        return (outer == null ? "" : outer + ": ")
                + inner
                + (damage == null ? "" : " [" + damage + "]");
    }

    @Override
    public void close() throws IOException {
        channel.close();
    }
}
