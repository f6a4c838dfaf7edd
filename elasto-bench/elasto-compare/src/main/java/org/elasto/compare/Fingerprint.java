package org.elasto.compare;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.CodeSource;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** SHA-256 of files, texts and the code that does the work. Stateless and thread-safe. */
final class Fingerprint {

    private static final int BUFFER = 1 << 16;

    private Fingerprint() {}

    private static MessageDigest digest() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException(e); // every Java has it
        }
    }

    /** Of a text. */
    static String of(String text) {
        return HexFormat.of().formatHex(digest().digest(text.getBytes(StandardCharsets.UTF_8)));
    }

    /** Of a file's bytes. */
    static String of(Path file) throws IOException {
        MessageDigest digest = digest();
        try (InputStream in = Files.newInputStream(file)) {
            byte[] buffer = new byte[BUFFER];
            for (int n = in.read(buffer); n >= 0; n = in.read(buffer)) {
                digest.update(buffer, 0, n);
            }
        }
        return HexFormat.of().formatHex(digest.digest());
    }

    /** Of the jar that a class is in; empty if it is in none. */
    static String ofCode(Class<?> type) throws IOException {
        CodeSource source = type.getProtectionDomain().getCodeSource();
        try {
            Path path = source == null ? null : Path.of(source.getLocation().toURI());
            return path != null && Files.isRegularFile(path) ? of(path) : "";
        } catch (java.net.URISyntaxException e) {
            return "";
        }
    }
}
