package org.elasto.recordings.source;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.Optional;
import java.util.function.Predicate;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.FrameSource;
import org.elasto.recordings.array.StoredArray;

/** What the providers of file sources have in common. */
final class Locations {

    private Locations() {}

    /** The file of a location. */
    static Path file(String location) throws IOException {
        Path path;
        try {
            path = Path.of(location);
        } catch (InvalidPathException e) {
            throw new IOException(location + " is not the name of a file: " + e.getReason(), e);
        }
        if (Files.isDirectory(path)) {
            throw new IOException(location + ": expected a file, found a folder");
        }
        if (!Files.exists(path)) {
            throw new NoSuchFileException(location, null, "there is no such file");
        }
        return path;
    }

    /** Whether a location is a file of some kind. */
    static boolean test(String location, Predicate<Path> kind) {
        try {
            Path path = Path.of(location);
            return Files.isRegularFile(path) && kind.test(path);
        } catch (InvalidPathException e) {
            return false;
        }
    }

    /**
     * A failure together with what is known to be wrong with the file, which is likely its reason.
     */
    static IOException withDamage(Exception failure, String damage) {
        return new IOException(failure.getMessage() + " [" + damage + "]", failure);
    }

    /** Frames out of an array. */
    static FrameSource frames(
            String location,
            ScanOptions options,
            AxisOrder order,
            StoredArray array,
            ScanParameters.FileNumbers numbers,
            Optional<String> damage,
            Closeable resource)
            throws IOException {
        int rank = array.rank();
        ScanGeometry geometry =
                ScanParameters.resolve(
                        location,
                        options,
                        numbers,
                        array.size(order.lineAxis(rank)),
                        array.size(order.sampleAxis(rank)));
        int frameAxis = order.frameAxis(rank);
        int frames = 1;
        if (frameAxis >= 0) {
            frames = frameAxis == 0 ? array.available() : array.size(frameAxis);
        }
        return new ArrayFrameSource(
                Path.of(location).getFileName().toString(),
                array,
                resource,
                order,
                geometry,
                frames,
                damage.orElse(null));
    }
}
