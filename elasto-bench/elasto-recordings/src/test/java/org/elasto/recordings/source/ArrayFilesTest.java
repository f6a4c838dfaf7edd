package org.elasto.recordings.source;

import static org.elasto.recordings.TestFiles.FRAMES;
import static org.elasto.recordings.TestFiles.LINES;
import static org.elasto.recordings.TestFiles.SAMPLES;
import static org.elasto.recordings.TestFiles.assertFails;
import static org.elasto.recordings.TestFiles.assertSamples;
import static org.elasto.recordings.TestFiles.assertWhole;
import static org.elasto.recordings.TestFiles.geometry;
import static org.elasto.recordings.TestFiles.open;
import static org.elasto.recordings.TestFiles.small;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import org.elasto.api.SampleType;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSource;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * NumPy files, written by NumPy itself, and MetaImage files, written by make_small.py as the
 * format's description has them.
 */
class ArrayFilesTest {

    private static final String SCAN =
            "sampling-frequency=4e7,centre-frequency=7.5e6,sound-speed=1500,first-depth=1e-3,"
                    + "line-pitch=3e-4,frame-rate=50";

    @TempDir Path folder;

    @ParameterizedTest
    @CsvSource({
        "npy-file, plain.npy, ''",
        "npy-file, version-2.npy, ''",
        "npy-file, fortran.npy, samples-lines-frames",
        "metaimage-file, plain.mha, ''",
        "metaimage-file, compressed.mha, samples-lines-frames",
        "metaimage-file, gzip.mha, ''",
        "metaimage-file, frames-fastest.mha, frames-lines-samples",
        "metaimage-file, beside.mhd, ''",
    })
    void everySampleOfIntegersComesBack(String provider, String name, String order)
            throws IOException {
        assertWhole(provider, parameters(provider, order), small(name));
        assertEquals(
                provider,
                Catalogue.frameSources().providers().stream()
                        .filter(p -> p.recognises(small(name).toString()))
                        .map(p -> p.name())
                        .reduce("", String::concat));
    }

    @ParameterizedTest
    @CsvSource({
        "npy-file, big-endian-float.npy, ''",
        "npy-file, double.npy, lines-frames-samples",
        "metaimage-file, big-endian.mha, ''",
        "metaimage-file, double.mha, ''",
    })
    void everySampleOfFloatsComesBack(String provider, String name, String order)
            throws IOException {
        try (FrameSource source = open(provider, parameters(provider, order), small(name))) {
            assertEquals(SampleType.FLOAT32, source.sampleType());
            assertEquals(geometry(), source.geometry());
            assertEquals(FRAMES * LINES * SAMPLES, assertSamples(source, 1));
        }
    }

    private static String parameters(String provider, String order) {
        String scan = provider.equals("npy-file") ? SCAN : "";
        String axes = order.isEmpty() ? "" : "axis-order=" + order;
        return scan.isEmpty() || axes.isEmpty() ? scan + axes : scan + "," + axes;
    }

    @Test
    void twoAxesAreASingleFrame() throws IOException {
        try (FrameSource source = open("npy-file", SCAN, small("single-frame.npy"))) {
            assertEquals(1, source.frameCount());
            assertEquals(LINES * SAMPLES, assertSamples(source, 1));
        }
    }

    /** A file that ends within frame 3 keeps frames 0 to 2. */
    @ParameterizedTest
    @CsvSource({
        "npy-file, plain.npy, ''",
        "npy-file, fortran.npy, samples-lines-frames",
        "metaimage-file, plain.mha, ''",
    })
    void framesBeforeAnEarlyEndStayReadable(String provider, String name, String order)
            throws IOException {
        byte[] bytes = Files.readAllBytes(small(name));
        int data = bytes.length - FRAMES * LINES * SAMPLES * 2;
        Path file = cut(name, data + 3 * LINES * SAMPLES * 2 + 50);
        try (FrameSource source = open(provider, parameters(provider, order), file)) {
            assertEquals(3, source.frameCount());
            assertEquals(3 * LINES * SAMPLES, assertSamples(source, 1));
            String damage = source.damage().orElseThrow();
            for (String part :
                    new String[] {
                        file.toString(),
                        "expected 5 frames of 240 bytes from byte offset " + data,
                        "found 3 and 50 bytes more",
                        "ends at byte offset " + (data + 770)
                    }) {
                assertTrue(damage.contains(part), damage);
            }
        }
    }

    @Test
    void framesBeforeDamagedCompressionStayReadable() throws IOException {
        byte[] bytes = Files.readAllBytes(small("compressed.mha"));
        int whole = 0;
        int cuts = 0;
        for (int length = bytes.length - 1; length > bytes.length - 1000; length -= 100) {
            Path file = cut("compressed.mha", length);
            try (FrameSource source = open("metaimage-file", "", file)) {
                assertTrue(source.frameCount() < FRAMES || length == bytes.length - 1);
                assertEquals(source.frameCount() * LINES * SAMPLES, assertSamples(source, 1));
                whole += source.frameCount();
                cuts += source.damage().isPresent() ? 1 : 0;
            } catch (IOException e) {
                assertTrue(e.getMessage().contains("expected 1200 bytes"), e.getMessage());
                cuts++;
            }
        }
        assertTrue(whole > 5 && cuts >= 9, whole + " frames, " + cuts + " damaged");
        bytes[bytes.length - 400] ^= 0x40;
        Path file = Files.write(folder.resolve("flipped.mha"), bytes);
        assertFails(
                IOException.class,
                () -> {
                    try (FrameSource source = open("metaimage-file", "", file)) {
                        throw new IOException(source.damage().orElse("no damage"));
                    }
                },
                file,
                "expected");
    }

    @Test
    void earlyEndIsAnErrorWhereEveryFrameIsTouched() throws IOException {
        Path npy = cut("double.npy", 3000);
        assertFails(
                IOException.class,
                () -> open("npy-file", SCAN + ",axis-order=lines-frames-samples", npy),
                npy,
                "expected 5 frames",
                "ends at byte offset 3000");
        Path mha = cut("frames-fastest.mha", 1000);
        assertFails(
                IOException.class,
                () -> open("metaimage-file", "axis-order=frames-lines-samples", mha),
                mha,
                "expected 5 frames");
    }

    @ParameterizedTest
    @CsvSource({"complex.npy, <c8", "four-axes.npy, 1 x 1 x 1 x 2"})
    void arraysThatAreNoFramesAreNamed(String name, String found) {
        assertFails(
                IOException.class,
                () -> open("npy-file", SCAN, small(name)),
                small(name),
                "no array that could hold frames",
                found);
    }

    @Test
    void whatTheFileDoesNotSayIsListed() {
        assertFails(
                IllegalArgumentException.class,
                () -> open("npy-file", "", small("plain.npy")),
                "sampling-frequency",
                "centre-frequency",
                "first-depth",
                "line-pitch");
    }

    @Test
    void damagedNumPyHeadersAreExplained() throws IOException {
        String head = "{'descr': '<i2', 'fortran_order': False, 'shape': (5, 6, 20), }";
        assertHeader(head.replace("'descr'", "'type'"), "'descr'");
        assertHeader(head.replace("'<i2'", "''"), "'descr'");
        assertHeader(head.replace("False", "Perhaps"), "'fortran_order'");
        assertHeader(head.replace("6", "six"), "(5, six, 20)");
        assertHeader(head.replace("6", "-6"), "-6");
        assertHeader(head.replace("'<i2'", "[('a', '<i2')]"), "a structure");
        for (int length : new int[] {3, 7, 9, 40}) {
            Path file = cut("plain.npy", length);
            assertFails(IOException.class, () -> open("npy-file", SCAN, file), file, "expected");
        }
        byte[] bytes = Files.readAllBytes(small("plain.npy"));
        bytes[6] = 9;
        Path file = Files.write(folder.resolve("version.npy"), bytes);
        assertFails(IOException.class, () -> open("npy-file", SCAN, file), "found 9");
    }

    private void assertHeader(String header, String mentions) throws IOException {
        byte[] text = header.getBytes(StandardCharsets.US_ASCII);
        byte[] bytes = Arrays.copyOf(new byte[] {(byte) 0x93, 'N', 'U', 'M', 'P', 'Y', 1, 0}, 2000);
        bytes[8] = (byte) text.length;
        System.arraycopy(text, 0, bytes, 10, text.length);
        Path file = Files.write(folder.resolve("header.npy"), bytes);
        assertFails(IOException.class, () -> open("npy-file", SCAN, file), file, mentions);
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "ElementType = MET_SHORT|ElementType = MET_LONG_LONG|MET_LONG_LONG",
                "ElementType = MET_SHORT|ElementNumber = 3|expected ElementType",
                "DimSize = 20 6 5|DimSize = 20 6|3 sizes",
                "DimSize = 20 6 5|DimSize = 20 x 5|'x'",
                "DimSize = 20 6 5|DimSize = 20 -6 5|'-6'",
                "NDims = 3|NDims = many|'many'",
                "BinaryData = True|BinaryData = False|text",
                "CompressedData = False|CompressedData = maybe|'maybe'",
                "NDims = 3|ElementNumberOfChannels = 2|ElementNumberOfChannels = 1",
                "frame_rate_hz = 50.0|frame_rate_hz = fifty|'fifty'",
                "ElementDataFile = LOCAL|ElementDataFile = LIST|one file",
                "ElementDataFile = LOCAL|ElementDataFile = gone.raw|no such file",
                "ElementDataFile = LOCAL|no more of it|Key = Value",
            })
    void damagedMetaImageHeadersAreExplained(String change) throws IOException {
        String[] parts = change.split("\\|");
        String text =
                new String(Files.readAllBytes(small("plain.mha")), StandardCharsets.ISO_8859_1);
        assertTrue(text.contains(parts[0]), parts[0]);
        Path file =
                Files.writeString(
                        folder.resolve("changed.mha"),
                        text.replace(parts[0], parts[1]),
                        StandardCharsets.ISO_8859_1);
        assertFails(IOException.class, () -> open("metaimage-file", "", file), parts[2]);
    }

    /** HeaderSize -1: the samples are the last bytes of their file. */
    @Test
    void samplesAtTheEndOfTheirFile() throws IOException {
        Files.copy(small("beside.samples"), folder.resolve("beside.samples"));
        Path file =
                Files.writeString(
                        folder.resolve("beside.mhd"),
                        Files.readString(small("beside.mhd"))
                                .replace("HeaderSize = 16", "HeaderSize = -1"));
        assertWhole("metaimage-file", "", file);
    }

    private Path cut(String name, int length) throws IOException {
        return Files.write(
                folder.resolve(name), Arrays.copyOf(Files.readAllBytes(small(name)), length));
    }
}
