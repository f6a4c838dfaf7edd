package org.elasto.recordings.source;

import static org.elasto.recordings.TestFiles.FRAMES;
import static org.elasto.recordings.TestFiles.LINES;
import static org.elasto.recordings.TestFiles.SAMPLES;
import static org.elasto.recordings.TestFiles.assertFails;
import static org.elasto.recordings.TestFiles.assertSamples;
import static org.elasto.recordings.TestFiles.assertWhole;
import static org.elasto.recordings.TestFiles.open;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import org.elasto.api.SampleType;
import org.elasto.api.plugin.FrameSource;
import org.elasto.recordings.TestFiles;
import org.elasto.recordings.array.ElementType;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class RawFileTest {

    private static final String SCAN =
            "sampling-frequency=4e7,centre-frequency=7.5e6,sound-speed=1500,first-depth=1e-3,"
                    + "line-pitch=3e-4,frame-rate=50";
    private static final String SHAPE = SCAN + ",lines=6,samples=20";

    @TempDir Path folder;

    /** Writes the samples of the small files, the axes nested in the order of the name. */
    private Path write(AxisOrder order, ElementType type, ByteOrder bytes, int header)
            throws IOException {
        ByteBuffer buffer =
                ByteBuffer.allocate(header + FRAMES * LINES * SAMPLES * type.bytes()).order(bytes);
        buffer.position(header);
        int[] size = new int[3];
        size[order.frameAxis(3)] = FRAMES;
        size[order.lineAxis(3)] = LINES;
        size[order.sampleAxis(3)] = SAMPLES;
        int[] at = new int[3];
        for (at[0] = 0; at[0] < size[0]; at[0]++) {
            for (at[1] = 0; at[1] < size[1]; at[1]++) {
                for (at[2] = 0; at[2] < size[2]; at[2]++) {
                    short value =
                            TestFiles.sample(
                                    at[order.frameAxis(3)],
                                    at[order.lineAxis(3)],
                                    at[order.sampleAxis(3)]);
                    switch (type) {
                        case INT8, UINT8 -> buffer.put((byte) value);
                        case INT16, UINT16 -> buffer.putShort(value);
                        case INT32, UINT32 -> buffer.putInt(value);
                        case FLOAT32 -> buffer.putFloat(value);
                        case FLOAT64 -> buffer.putDouble(value);
                    }
                }
            }
        }
        return Files.write(folder.resolve("rf.bin"), buffer.array());
    }

    @ParameterizedTest
    @EnumSource
    void axisOrders(AxisOrder order) throws IOException {
        Path file = write(order, ElementType.INT16, ByteOrder.LITTLE_ENDIAN, 0);
        // The order is spelled as its name says, which AxisOrder itself must agree with.
        String word = order.name().toLowerCase(Locale.ROOT).replace('_', '-');
        String[] axes = word.split("-");
        assertEquals("frames", axes[order.frameAxis(3)]);
        assertEquals("lines", axes[order.lineAxis(3)]);
        assertEquals("samples", axes[order.sampleAxis(3)]);
        assertEquals(axes[2] + "-" + axes[1] + "-" + axes[0], word(order.reversed()));
        String frames = order.frameAxis(3) == 0 ? "" : ",frames=5";
        assertWhole("raw-file", SHAPE + frames + ",axis-order=" + word, file);
        assertWhole("raw-file", SHAPE + ",axis-order=" + word, file);
    }

    private static String word(AxisOrder order) {
        return order.name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    @ParameterizedTest
    @CsvSource({
        "INT16, LITTLE_ENDIAN, 7",
        "INT16, BIG_ENDIAN, 1024",
        "INT32, LITTLE_ENDIAN, 0",
        "INT32, BIG_ENDIAN, 3",
        "FLOAT32, LITTLE_ENDIAN, 0",
        "FLOAT32, BIG_ENDIAN, 5",
        "FLOAT64, LITTLE_ENDIAN, 1",
        "FLOAT64, BIG_ENDIAN, 0"
    })
    void typesByteOrdersAndHeaders(ElementType type, RawByteOrder order, int header)
            throws IOException {
        Path file = write(AxisOrder.FRAMES_LINES_SAMPLES, type, order.order(), header);
        String text =
                SHAPE
                        + ",sample-type="
                        + type.label()
                        + ",byte-order="
                        + order.name().toLowerCase(Locale.ROOT).replace('_', '-')
                        + ",header-bytes="
                        + header;
        try (FrameSource source = open("raw-file", text, file)) {
            assertEquals(FRAMES, source.frameCount());
            assertEquals(
                    type == ElementType.INT16 ? SampleType.INT16 : SampleType.FLOAT32,
                    source.sampleType());
            assertEquals(FRAMES * LINES * SAMPLES, assertSamples(source, 1));
        }
    }

    @ParameterizedTest
    @CsvSource({"int8, -1, INT16", "uint8, 255, INT16", "uint16, 65535, FLOAT32"})
    void narrowTypes(String type, float expected, SampleType sampleType) throws IOException {
        Path file = Files.write(folder.resolve("ones.raw"), new byte[] {-1, -1, -1, -1});
        int samples = type.endsWith("16") ? 2 : 4;
        String text = SCAN + ",lines=1,samples=" + samples + ",sample-type=" + type;
        try (FrameSource source = open("raw-file", text, file)) {
            float[] line = new float[samples];
            source.read(0).readLine(0, line, 0);
            assertEquals(expected, line[samples - 1]);
            assertEquals(sampleType, source.sampleType());
        }
    }

    @Test
    void wholeFramesBeforeTheEndStayReadable() throws IOException {
        Path file =
                write(
                        AxisOrder.FRAMES_LINES_SAMPLES,
                        ElementType.INT16,
                        ByteOrder.LITTLE_ENDIAN,
                        16);
        byte[] bytes = Files.readAllBytes(file);
        Files.write(file, java.util.Arrays.copyOf(bytes, 16 + 3 * 240 + 100));
        for (String frames : new String[] {"", ",frames=5"}) {
            try (FrameSource source = open("raw-file", SHAPE + ",header-bytes=16" + frames, file)) {
                assertEquals(3, source.frameCount());
                assertEquals(3 * LINES * SAMPLES, assertSamples(source, 1));
                String damage = source.damage().orElseThrow();
                for (String text :
                        new String[] {
                            file.toString(),
                            frames.isEmpty() ? "whole frames" : "5 frames",
                            "240 bytes",
                            "found 3 and 100 bytes more",
                            "byte offset 836"
                        }) {
                    assertTrue(damage.contains(text), () -> text + " is not in: " + damage);
                }
            }
        }
        // Where frames are interleaved, no frame is whole.
        assertFails(
                IOException.class,
                () ->
                        open(
                                "raw-file",
                                SHAPE + ",header-bytes=16,frames=5,axis-order=lines-samples-frames",
                                file),
                file,
                "5 frames",
                "found 3 and 100 bytes more");
    }

    @Test
    void aFileThatShrinksWhileOpenGivesAnError() throws IOException {
        Path file =
                write(
                        AxisOrder.FRAMES_LINES_SAMPLES,
                        ElementType.INT16,
                        ByteOrder.LITTLE_ENDIAN,
                        0);
        try (FrameSource source = open("raw-file", SHAPE, file)) {
            Files.write(file, new byte[300]);
            source.read(0);
            assertFails(
                    IOException.class,
                    () -> source.read(1),
                    file,
                    "expected 240 bytes at byte offset 240",
                    "ends at byte offset 300");
        }
    }

    @Test
    void lessThanOneFrameIsAnError() throws IOException {
        Path file = Files.write(folder.resolve("short.raw"), new byte[239]);
        assertFails(
                IOException.class,
                () -> open("raw-file", SHAPE, file),
                file,
                "expected 1 frames of 240 bytes from byte offset 0",
                "found 0 and 239 bytes more");
        assertFails(
                IOException.class,
                () -> open("raw-file", SHAPE + ",header-bytes=9999", file),
                file);
    }

    @Test
    void whatTheFileCannotSayMustBeGiven() throws IOException {
        Path file = Files.write(folder.resolve("some.raw"), new byte[1000]);
        assertFails(
                IllegalArgumentException.class,
                () -> open("raw-file", SCAN, file),
                file,
                "lines and samples");
        assertFails(
                IllegalArgumentException.class,
                () -> open("raw-file", SCAN + ",lines=3", file),
                file,
                "give its samples as");
        assertFails(
                IllegalArgumentException.class,
                () -> open("raw-file", "lines=2,samples=3", file),
                file,
                "sampling-frequency",
                "centre-frequency",
                "first-depth",
                "line-pitch");
        assertFails(
                IllegalArgumentException.class,
                () -> open("raw-file", SCAN + ",lines=1048576,samples=67108864", file),
                "samples");
        assertFails(
                IllegalArgumentException.class,
                () -> open("raw-file", SCAN + ",lines=2,samples=3,sample-type=int12", file),
                "sample-type",
                "int12",
                "float64");
    }

    @Test
    void aFrameLargerThanAnArrayIsRefused() throws IOException {
        Path file = Files.write(folder.resolve("some.raw"), new byte[1000]);
        assertFails(
                IOException.class,
                () ->
                        open(
                                "raw-file",
                                SCAN + ",lines=1000,samples=2000000,sample-type=float64",
                                file),
                file);
    }

    @Test
    void rawFilesAreRecognisedByTheirEnding() {
        RawFileProvider raw = new RawFileProvider();
        assertTrue(raw.recognises("a.raw"));
        assertTrue(raw.recognises("/b/A.BIN"));
        assertTrue(raw.recognises("c.dat"));
        assertFalse(raw.recognises("d.mat"));
        assertFalse(raw.recognises("raw"));
    }
}
