package org.elasto.compare;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.UUID;

/** Files that stand under their names only when they are complete. */
final class WholeFile {

    private WholeFile() {}

    /** What goes into a file. */
    @FunctionalInterface
    interface Content {
        void writeTo(OutputStream out) throws IOException;
    }

    /** A name that is not taken, in the same folder, hidden. */
    static Path beside(Path target) {
        return target.resolveSibling("." + target.getFileName() + "." + UUID.randomUUID());
    }

    /** Writes a file under a temporary name and moves it into place; or leaves nothing behind. */
    static void write(Path file, Content content) throws IOException {
        Path target = file.toAbsolutePath();
        Path temporary = beside(target);
        try {
            try (OutputStream out =
                    new BufferedOutputStream(
                            Files.newOutputStream(
                                    temporary,
                                    StandardOpenOption.CREATE_NEW,
                                    StandardOpenOption.WRITE))) {
                content.writeTo(out);
            }
            move(temporary, target);
        } finally {
            Files.deleteIfExists(temporary);
        }
    }

    /** Writes a text. */
    static void write(Path file, String text) throws IOException {
        write(file, out -> out.write(text.getBytes(StandardCharsets.UTF_8)));
    }

    /** Moves a file or a folder into place, at once where the file system can. */
    static void move(Path from, Path to) throws IOException {
        try {
            Files.move(from, to, StandardCopyOption.ATOMIC_MOVE);
        } catch (AtomicMoveNotSupportedException e) {
            Files.move(from, to, StandardCopyOption.REPLACE_EXISTING);
        }
    }

    /** Makes a folder to write to, with a message that says what to do if that cannot be. */
    static Path folder(Path folder) throws IOException {
        try {
            Files.createDirectories(folder);
        } catch (FileAlreadyExistsException e) {
            throw new IOException(folder + " is a file; name a folder to write to by --to", e);
        } catch (FileSystemException e) {
            throw notWritable(folder, e);
        }
        if (!Files.isWritable(folder)) {
            throw notWritable(folder, null);
        }
        return folder;
    }

    private static IOException notWritable(Path folder, Exception cause) {
        return new IOException(
                folder
                        + " cannot be written to; choose another folder by --to, or change its"
                        + " permissions",
                cause);
    }
}
