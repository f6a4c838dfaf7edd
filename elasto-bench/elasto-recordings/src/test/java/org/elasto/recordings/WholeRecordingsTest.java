package org.elasto.recordings;

import static org.elasto.recordings.TestFiles.open;
import static org.elasto.recordings.TestFiles.recording;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;

import java.io.IOException;
import java.nio.file.Path;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.FrameSource;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The whole synthetic recordings, in both containers; skipped where they are not at hand. */
class WholeRecordingsTest {

    @ParameterizedTest
    @CsvSource({"phantom-a, 8, 7.5e6", "phantom-b, 6, 5e6"})
    void bothContainersGiveTheSameBitsWithoutAnyParameter(String name, int frames, double centre)
            throws IOException {
        ScanGeometry expected = ScanGeometry.linear(128, 2337, 4e7, centre, 1540, 0, 3e-4, 50);
        long compared = 0;
        long energy = 0;
        try (FrameSource mat = open("mat-file", "", recording(name + ".mat"));
                FrameSource hdf5 = open("hdf5-file", "", recording(name + ".h5"))) {
            assertEquals(expected, mat.geometry());
            assertEquals(expected, hdf5.geometry());
            assertEquals(frames, mat.frameCount());
            assertEquals(frames, hdf5.frameCount());
            assertEquals(SampleType.INT16, mat.sampleType());
            assertEquals(SampleType.INT16, hdf5.sampleType());
            RfFrame a = mat.newFrame();
            RfFrame b = hdf5.newFrame();
            float[] lineA = new float[2337];
            float[] lineB = new float[2337];
            for (int f = 0; f < frames; f++) {
                mat.read(f, a);
                hdf5.read(f, b);
                assertEquals(a.timeNanos(), b.timeNanos());
                assertEquals(20_000_000L * f, a.timeNanos());
                for (int l = 0; l < 128; l++) {
                    a.readLine(l, lineA, 0);
                    b.readLine(l, lineB, 0);
                    assertArrayEquals(lineA, lineB, "frame " + f + " line " + l);
                    for (float sample : lineA) {
                        energy += (long) sample * (long) sample;
                    }
                    compared += lineA.length;
                }
            }
        }
        assertEquals(frames * 128L * 2337, compared);
        assertNotEquals(0, energy);
    }

    @Test
    void framesReadOneByOneAreThoseOfAWholeRead() throws IOException {
        Path file = recording("phantom-a.h5");
        short[][][] whole;
        try (io.jhdf.HdfFile hdf = new io.jhdf.HdfFile(file)) {
            whole = (short[][][]) hdf.getDatasetByPath("/rf").getData();
        }
        long compared = 0;
        try (FrameSource source = open("hdf5-file", "", file)) {
            float[] line = new float[2337];
            // Backwards, so that nothing hangs on the order.
            for (int f = source.frameCount() - 1; f >= 0; f--) {
                RfFrame frame = source.read(f);
                for (int l = 0; l < 128; l++) {
                    frame.readLine(l, line, 0);
                    for (int s = 0; s < line.length; s++, compared++) {
                        assertEquals(whole[f][l][s], line[s]);
                    }
                }
            }
        }
        assertEquals(8L * 128 * 2337, compared);
    }

    @Test
    void aRecordingComesBackFromTheWriter(@TempDir Path folder) throws IOException {
        Path copy = folder.resolve("copy.h5");
        try (FrameSource source = open("mat-file", "", recording("phantom-b.mat"))) {
            RecordingWriter.write(copy, source);
            try (FrameSource written = open("hdf5-file", "", copy)) {
                RecordingWriterTest.assertSame(source, written);
            }
        }
    }
}
