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

    /**
     * What does not fit about the length of a file of samples.
     *
     * @param location the file for messages
     * @param start byte offset of the first sample
     * @param frameBytes bytes of a frame
     * @param expected number of frames there should be
     * @param given whether that number was given; what lies beyond does not matter then
     * @param size bytes of the file
     * @return what was expected and found, and where; null if all is well
     */
    static String shortfall(
            String location, long start, long frameBytes, long expected, boolean given, long size) {
        long bytes = Math.max(0, size - start);
        long whole = bytes / frameBytes;
        long rest = bytes - whole * frameBytes;
        boolean tooFew = whole < expected || whole == 0;
        if (!tooFew && (rest == 0 || given)) {
            return null;
        }
        return location
                + ": expected "
                + (tooFew ? Math.max(1, expected) + " frames" : "whole frames")
                + " of "
                + frameBytes
                + " bytes from byte offset "
                + start
                + " on, found "
                + whole
                + " and "
                + rest
                + " bytes more; the file ends at byte offset "
                + size;
    }

    /**
     * Frames out of an array of which nothing may be there behind some place.
     *
     * @param damage what is wrong, or empty
     * @throws IOException if no whole frame can be read, with the damage
     */
    static FrameSource framesBeforeDamage(
            String location,
            ScanOptions options,
            AxisOrder order,
            StoredArray array,
            ScanParameters.FileNumbers numbers,
            Optional<String> damage,
            Closeable resource)
            throws IOException {
        boolean framesFirst = order.frameAxis(array.rank()) == 0;
        if (damage.isPresent() && (!framesFirst || array.available() == 0)) {
            throw new IOException(damage.get());
        }
        return frames(location, options, order, array, numbers, damage, resource);
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
