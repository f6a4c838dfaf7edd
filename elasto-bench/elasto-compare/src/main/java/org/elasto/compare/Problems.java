package org.elasto.compare;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.NoSuchFileException;
import java.util.Locale;

/** One line for what went wrong, which says what to do. Stateless and thread-safe. */
final class Problems {

    private Problems() {}

    static String text(Throwable problem) {
        String message = problem.getMessage();
        if (message == null || message.isBlank()) {
            return problem.getClass().getSimpleName();
        }
        message = message.replaceAll("\\s*\\R\\s*", " ");
        if (problem instanceof AccessDeniedException denied) {
            return denied.getFile()
                    + ": access denied; change its permissions, or write elsewhere by --to";
        }
        if (problem instanceof NoSuchFileException missing && missing.getReason() == null) {
            return missing.getFile() + ": there is no such file or folder; check the name";
        }
        if (isFull(problem)) {
            return message
                    + "; free some space, or write elsewhere by --to; nothing half-written is left";
        }
        return message;
    }

    /** The system says it in words only. */
    private static boolean isFull(Throwable problem) {
        for (Throwable t = problem; t != null; t = t.getCause()) {
            boolean io = t instanceof IOException || t instanceof FileSystemException;
            String message = t.getMessage() == null ? "" : t.getMessage().toLowerCase(Locale.ROOT);
            if (io
                    && (message.contains("no space left")
                            || message.contains("file too large")
                            || message.contains("not enough space")
                            || message.contains("quota exceeded"))) {
                return true;
            }
        }
        return false;
    }
}
