package org.elasto.recordings;

import static org.elasto.recordings.TestFiles.assertFails;
import static org.elasto.recordings.TestFiles.open;
import static org.elasto.recordings.TestFiles.small;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import java.util.stream.Stream;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.FrameSource;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class RecordingWriterTest {

    @TempDir Path folder;

    /** Random frames, some samples NaN or infinite; one frame may fail. */
    private record Noise(ScanGeometry geometry, int frameCount, int failing)
            implements FrameSource {
        @Override
        public String name() {
            return "noise";
        }

        @Override
        public SampleType sampleType() {
            return SampleType.FLOAT32;
        }

        @Override
        public void read(int index, RfFrame into) throws IOException {
            if (index == failing) {
                throw new IOException("frame " + index + " is lost");
            }
            Random random = new Random(index);
            float[] line = new float[geometry.samples()];
            for (int l = 0; l < geometry.lines(); l++) {
                for (int s = 0; s < line.length; s++) {
                    line[s] = (float) random.nextGaussian();
                }
                line[l % line.length] = l % 2 == 0 ? Float.NaN : Float.NEGATIVE_INFINITY;
                into.writeLine(l, line, 0);
            }
            into.stamp(index, 0);
        }

        @Override
        public void close() {}
    }

    static void assertSame(FrameSource expected, FrameSource actual) throws IOException {
        assertEquals(expected.geometry(), actual.geometry());
        assertEquals(expected.sampleType(), actual.sampleType());
        assertEquals(expected.frameCount(), actual.frameCount());
        assertTrue(actual.damage().isEmpty());
        float[] a = new float[expected.geometry().samples()];
        float[] b = new float[a.length];
        for (int f = 0; f < expected.frameCount(); f++) {
            RfFrame first = expected.read(f);
            RfFrame second = actual.read(f);
            for (int l = 0; l < expected.geometry().lines(); l++) {
                first.readLine(l, a, 0);
                second.readLine(l, b, 0);
                assertArrayEquals(a, b);
            }
        }
    }

    @Test
    void integersComeBack() throws IOException {
        Path file = folder.resolve("copy.h5");
        try (FrameSource source = open("mat-file", "", small("compressed.mat"))) {
            RecordingWriter.write(file, source);
        }
        TestFiles.assertWhole("hdf5-file", "", file);
        assertOnly(file);
    }

    @Test
    void floatsOfAConvexScanComeBack() throws IOException {
        ScanGeometry geometry =
                ScanGeometry.convex(5, 33, 3e7, 3.5e6, 1540, 2e-3, 0.06, 0.01, Double.NaN);
        Path file = folder.resolve("noise.h5");
        try (FrameSource source = new Noise(geometry, 4, -1)) {
            RecordingWriter.write(file, source);
            try (FrameSource written = open("hdf5-file", "", file)) {
                assertSame(source, written);
            }
        }
    }

    @Test
    void anExistingFileIsReplacedOnlyByACompleteOne() throws IOException {
        Path file = folder.resolve("noise.h5");
        ScanGeometry geometry = ScanGeometry.linear(3, 9, 3e7, 5e6, 1540, 0, 3e-4, 20);
        Files.writeString(file, "old");
        assertFails(
                IOException.class,
                () -> RecordingWriter.write(file, new Noise(geometry, 4, 2)),
                "frame 2 is lost");
        assertEquals("old", Files.readString(file));
        assertOnly(file);
        RecordingWriter.write(file, new Noise(geometry, 4, -1));
        try (FrameSource written = open("hdf5-file", "", file)) {
            assertSame(new Noise(geometry, 4, -1), written);
        }
        assertOnly(file);
    }

    @Test
    void withoutAFolderNothingIsWritten() {
        assertFails(
                IOException.class,
                () ->
                        RecordingWriter.write(
                                folder.resolve("gone").resolve("a.h5"),
                                new Noise(TestFiles.geometry(), 1, -1)),
                "a.h5",
                "no folder");
        assertFails(
                IOException.class,
                () -> RecordingWriter.write(folder, new Noise(TestFiles.geometry(), 1, -1)),
                "found a folder");
        assertFalse(Files.exists(folder.resolve("gone")));
    }

    private void assertOnly(Path file) throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            assertEquals(java.util.List.of(file), files.toList());
        }
    }
}
