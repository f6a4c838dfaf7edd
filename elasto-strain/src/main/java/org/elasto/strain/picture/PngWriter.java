package org.elasto.strain.picture;

import java.io.BufferedOutputStream;
import java.io.ByteArrayOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.UUID;
import java.util.zip.CRC32;
import java.util.zip.Deflater;
import java.util.zip.DeflaterOutputStream;
import org.elasto.api.Check;

/**
 * Writes pictures as PNG files (ISO/IEC 15948): 8 bits a channel, with an alpha channel only if a
 * pixel needs it. Every file carries the cautions of {@link Cautions} under the keyword {@code
 * Disclaimer}, and the true size of its pixels.
 *
 * <p>Stateless and thread-safe.
 */
public final class PngWriter {

    private static final byte[] SIGNATURE = {(byte) 137, 'P', 'N', 'G', 13, 10, 26, 10};
    private static final int CHUNK = 1 << 16;
    private static final Charset LATIN = StandardCharsets.ISO_8859_1;

    private PngWriter() {}

    /**
     * Writes a picture into a file. The file appears complete or not at all: the picture is written
     * beside it and then moved into its place, over an older file of that name.
     *
     * @param file the file
     * @param picture the picture
     * @param pixelsPerMillimetre pixels that a millimetre takes; NaN if it has no size
     * @param texts texts to go with it by keyword, such as {@code Title}; may be empty
     * @throws IOException if the file cannot be written
     * @throws IllegalArgumentException for a keyword that is empty, longer than 79 characters, has
     *     spaces at its ends or in a row, or characters outside printable Latin-1
     */
    public static void write(
            Path file, Picture picture, double pixelsPerMillimetre, Map<String, String> texts)
            throws IOException {
        Path target = file.toAbsolutePath();
        // Not Files.createTempFile, whose files nobody else may read.
        Path beside = target.resolveSibling("." + target.getFileName() + "." + UUID.randomUUID());
        try {
            try (OutputStream out =
                    new BufferedOutputStream(
                            Files.newOutputStream(
                                    beside,
                                    StandardOpenOption.CREATE_NEW,
                                    StandardOpenOption.WRITE))) {
                write(out, picture, pixelsPerMillimetre, texts);
            }
            try {
                Files.move(beside, target, StandardCopyOption.ATOMIC_MOVE);
            } catch (AtomicMoveNotSupportedException e) {
                Files.move(beside, target, StandardCopyOption.REPLACE_EXISTING);
            }
        } finally {
            Files.deleteIfExists(beside);
        }
    }

    /**
     * Writes a picture into a stream, which stays open.
     *
     * @param out receives the file's bytes
     * @param picture the picture
     * @param pixelsPerMillimetre pixels that a millimetre takes; NaN if it has no size
     * @param texts texts to go with it by keyword; may be empty
     * @throws IOException if the stream fails
     * @throws IllegalArgumentException for an invalid keyword, before anything is written
     */
    public static void write(
            OutputStream out,
            Picture picture,
            double pixelsPerMillimetre,
            Map<String, String> texts)
            throws IOException {
        Map<String, String> all = new LinkedHashMap<>();
        all.put("Disclaimer", Cautions.TEXT);
        all.put("Software", "elasto");
        all.putAll(texts);
        all.keySet().forEach(PngWriter::checkKeyword);
        if (!Double.isNaN(pixelsPerMillimetre)) {
            Check.range("pixels per millimetre", pixelsPerMillimetre, 1e-3, 1e6, "1/mm");
        }
        boolean alpha = hasAlpha(picture);
        out.write(SIGNATURE);
        chunk(out, "IHDR", header(picture, alpha));
        if (!Double.isNaN(pixelsPerMillimetre)) {
            chunk(out, "pHYs", size(pixelsPerMillimetre));
        }
        for (Map.Entry<String, String> text : all.entrySet()) {
            text(out, text.getKey(), text.getValue());
        }
        pixels(out, picture, alpha);
        chunk(out, "IEND", new byte[0]);
        out.flush();
    }

    private static void checkKeyword(String keyword) {
        boolean valid =
                !keyword.isEmpty()
                        && keyword.length() <= 79
                        && keyword.equals(keyword.strip())
                        && !keyword.contains("  ")
                        && keyword.chars()
                                .allMatch(c -> c >= 32 && c <= 126 || c >= 161 && c <= 255);
        if (!valid) {
            throw new IllegalArgumentException(
                    "keyword '"
                            + keyword
                            + "' is not allowed; it must be 1 to 79 printable Latin-1 characters"
                            + " without spaces at its ends or in a row");
        }
    }

    private static boolean hasAlpha(Picture picture) {
        for (int pixel : picture.argb()) {
            if (pixel >>> 24 != 255) {
                return true;
            }
        }
        return false;
    }

    private static byte[] header(Picture picture, boolean alpha) throws IOException {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        DataOutputStream data = new DataOutputStream(bytes);
        data.writeInt(picture.width());
        data.writeInt(picture.height());
        data.writeByte(8);
        data.writeByte(alpha ? 6 : 2);
        // Deflate, adaptive filters, not interlaced.
        data.write(new byte[3]);
        return bytes.toByteArray();
    }

    private static byte[] size(double pixelsPerMillimetre) throws IOException {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        DataOutputStream data = new DataOutputStream(bytes);
        int perMetre = (int) Math.round(1000 * pixelsPerMillimetre);
        data.writeInt(perMetre);
        data.writeInt(perMetre);
        data.writeByte(1);
        return bytes.toByteArray();
    }

    private static void text(OutputStream out, String keyword, String text) throws IOException {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        bytes.write(keyword.getBytes(LATIN));
        bytes.write(0);
        // A zero would end the text early.
        String clean = text.replace('\0', ' ');
        if (LATIN.newEncoder().canEncode(clean)) {
            bytes.write(clean.getBytes(LATIN));
            chunk(out, "tEXt", bytes.toByteArray());
        } else {
            // Not compressed, no language tag, no translated keyword.
            bytes.write(new byte[4]);
            bytes.write(clean.getBytes(StandardCharsets.UTF_8));
            chunk(out, "iTXt", bytes.toByteArray());
        }
    }

    private static void pixels(OutputStream out, Picture picture, boolean alpha)
            throws IOException {
        int channels = alpha ? 4 : 3;
        int length = picture.width() * channels;
        byte[] row = new byte[length];
        byte[] above = new byte[length];
        byte[] best = new byte[length + 1];
        byte[] trial = new byte[length + 1];
        Deflater deflater = new Deflater(6);
        try (DeflaterOutputStream deflated =
                new DeflaterOutputStream(new DataChunks(out), deflater, CHUNK)) {
            for (int y = 0; y < picture.height(); y++) {
                unpack(picture, y, channels, row);
                long least = filter(0, row, above, channels, best);
                for (int kind = 1; kind <= 2; kind++) {
                    long sum = filter(kind, row, above, channels, trial);
                    if (sum < least) {
                        least = sum;
                        byte[] swap = best;
                        best = trial;
                        trial = swap;
                    }
                }
                deflated.write(best);
                byte[] swap = above;
                above = row;
                row = swap;
            }
        } finally {
            deflater.end();
        }
    }

    private static void unpack(Picture picture, int y, int channels, byte[] row) {
        int[] argb = picture.argb();
        int from = y * picture.width();
        for (int x = 0, i = 0; x < picture.width(); x++) {
            int pixel = argb[from + x];
            row[i++] = (byte) (pixel >> 16);
            row[i++] = (byte) (pixel >> 8);
            row[i++] = (byte) pixel;
            if (channels == 4) {
                row[i++] = (byte) (pixel >>> 24);
            }
        }
    }

    /**
     * Writes a row as differences from nothing (0), the pixel to the left (1) or that above (2),
     * and returns the sum of their sizes: the smaller, the better it will be compressed, as the
     * standard advises.
     */
    private static long filter(int kind, byte[] row, byte[] above, int channels, byte[] filtered) {
        filtered[0] = (byte) kind;
        long sum = 0;
        for (int i = 0; i < row.length; i++) {
            int left = i < channels ? 0 : row[i - channels];
            int expected = kind == 0 ? 0 : kind == 1 ? left : above[i];
            byte difference = (byte) (row[i] - expected);
            filtered[i + 1] = difference;
            sum += Math.abs(difference);
        }
        return sum;
    }

    private static void chunk(OutputStream out, String type, byte[] data) throws IOException {
        chunk(out, type, data, data.length);
    }

    private static void chunk(OutputStream out, String type, byte[] data, int length)
            throws IOException {
        byte[] name = type.getBytes(StandardCharsets.US_ASCII);
        CRC32 check = new CRC32();
        check.update(name);
        check.update(data, 0, length);
        DataOutputStream numbers = new DataOutputStream(out);
        numbers.writeInt(length);
        numbers.write(name);
        numbers.write(data, 0, length);
        numbers.writeInt((int) check.getValue());
    }

    /** Turns what is written into data chunks of the file. */
    private static final class DataChunks extends OutputStream {
        private final OutputStream out;

        DataChunks(OutputStream out) {
            this.out = out;
        }

        @Override
        public void write(int value) throws IOException {
            write(new byte[] {(byte) value}, 0, 1);
        }

        @Override
        public void write(byte[] bytes, int offset, int length) throws IOException {
            byte[] data = new byte[length];
            System.arraycopy(bytes, offset, data, 0, length);
            chunk(out, "IDAT", data);
        }
    }
}
