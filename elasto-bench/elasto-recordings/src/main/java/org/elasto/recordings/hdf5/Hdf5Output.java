package org.elasto.recordings.hdf5;

import io.jhdf.HdfFile;
import io.jhdf.WritableHdfFile;
import io.jhdf.api.WritableDataset;
import java.io.IOException;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.UUID;
import java.util.function.Consumer;

/**
 * An HDF5 file to write: first told what goes in, then {@linkplain #write written} at once, under a
 * temporary name in the folder of its final name, and moved there when complete. No half-written
 * file ever stands under the final name.
 *
 * <p>Data sets are contiguous and uncompressed. {@linkplain #stream Streamed} ones fetch their
 * elements while the file is written, and need no memory before.
 *
 * <p>Not thread-safe.
 */
public final class Hdf5Output {

    private final Path target;
    private final List<Consumer<WritableHdfFile>> parts = new ArrayList<>();

    /**
     * A file without content; nothing is created yet.
     *
     * @param target its final name; a file of that name is replaced in the end
     * @throws IOException if the folder does not exist, or the name is a folder's
     */
    public Hdf5Output(Path target) throws IOException {
        this.target = target.toAbsolutePath();
        Path folder = this.target.getParent();
        if (folder == null || !Files.isDirectory(folder)) {
            throw new IOException(target + ": there is no folder " + folder + " to write to");
        }
        if (Files.isDirectory(this.target)) {
            throw new IOException(target + ": expected a file's name, found a folder");
        }
    }

    /**
     * A name for a file that lives for a while beside this one.
     *
     * @return a hidden name in the same folder that is not taken
     */
    public Path temporaryName() {
        return target.resolveSibling(
                "." + target.getFileName() + "." + UUID.randomUUID() + ".part");
    }

    /**
     * Adds a small data set.
     *
     * @param name its name
     * @param data an array of numbers, not empty
     */
    public void put(String name, Object data) {
        parts.add(hdf -> hdf.putDataset(name, data));
    }

    /**
     * Adds an attribute of the root group.
     *
     * @param name its name
     * @param value a number or a text
     */
    public void attribute(String name, Object value) {
        parts.add(hdf -> hdf.putAttribute(name, value));
    }

    /**
     * Adds a data set whose elements are delivered when the file is written.
     *
     * @param name its name
     * @param element primitive type of its elements
     * @param shape sizes of its axes
     * @param attributes its attributes
     * @param filler delivers the elements
     */
    public void stream(
            String name,
            Class<?> element,
            int[] shape,
            Map<String, Object> attributes,
            Filler filler) {
        parts.add(
                hdf -> {
                    WritableDataset dataset =
                            new StreamedDataset(hdf, name, element, shape, filler);
                    attributes.forEach(dataset::putAttribute);
                    hdf.putDataset(name, dataset);
                });
    }

    /**
     * Writes the file and moves it into place.
     *
     * @throws IOException if that fails; nothing is left behind then
     */
    public void write() throws IOException {
        Path temporary = temporaryName();
        try {
            Files.createFile(temporary);
            WritableHdfFile hdf = HdfFile.write(temporary);
            parts.forEach(part -> part.accept(hdf));
            hdf.close();
            move(temporary);
        } catch (StreamedDataset.FillingFailed e) {
            throw e.cause();
        } catch (RuntimeException e) {
            throw new IOException(target + ": cannot be written: " + e.getMessage(), e);
        } finally {
            Files.deleteIfExists(temporary);
        }
    }

    private void move(Path temporary) throws IOException {
        try {
            Files.move(temporary, target, StandardCopyOption.ATOMIC_MOVE);
        } catch (AtomicMoveNotSupportedException e) {
            Files.move(temporary, target, StandardCopyOption.REPLACE_EXISTING);
        }
    }
}
