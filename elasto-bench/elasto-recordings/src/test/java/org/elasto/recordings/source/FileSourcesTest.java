package org.elasto.recordings.source;

import static org.elasto.recordings.TestFiles.FRAMES;
import static org.elasto.recordings.TestFiles.LINES;
import static org.elasto.recordings.TestFiles.SAMPLES;
import static org.elasto.recordings.TestFiles.assertFails;
import static org.elasto.recordings.TestFiles.assertSamples;
import static org.elasto.recordings.TestFiles.assertWhole;
import static org.elasto.recordings.TestFiles.open;
import static org.elasto.recordings.TestFiles.small;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.elasto.api.LineLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSource;
import org.elasto.recordings.TestFiles;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Frames out of MAT-files and HDF5 files that were written by scipy and h5py. */
class FileSourcesTest {

    private static final String SCAN =
            "sampling-frequency=4e7,centre-frequency=7.5e6,sound-speed=1500,first-depth=1e-3,"
                    + "line-pitch=3e-4,frame-rate=50";

    @ParameterizedTest
    @ValueSource(
            strings = {
                "gzip-shuffle.h5",
                "gzip-shuffle-latest.h5",
                "extensible-latest.h5",
                "big-endian.h5",
                "contiguous.h5",
                "contiguous-big-endian.h5",
                "fletcher.h5",
                "fletcher-only.h5",
                "lzf.h5",
                "compact.h5",
                "version-7.3.mat"
            })
    void everySampleOfAnHdf5FileIsRight(String name) throws IOException {
        assertTrue(new Hdf5FileProvider().recognises(small(name).toString()));
        assertWhole("hdf5-file", "", small(name));
    }

    @Test
    void lzfChunksThatWereAndWereNotPackedAreRight() throws IOException {
        try (FrameSource source = open("hdf5-file", "", small("lzf-zeros.h5"))) {
            float[] line = new float[SAMPLES];
            for (int f = 0; f < FRAMES; f++) {
                RfFrame frame = source.read(f);
                for (int l = 0; l < LINES; l++) {
                    frame.readLine(l, line, 0);
                    for (int s = 0; s < SAMPLES; s++) {
                        assertEquals(l < 4 ? 0 : TestFiles.sample(f, l, s), line[s]);
                    }
                }
            }
        }
    }

    @ParameterizedTest
    @CsvSource({
        "hdf5-file, samples-lines-frames.h5, samples-lines-frames",
        "hdf5-file, lines-frames-samples.h5, lines-frames-samples",
        "mat-file, frames-lines-samples.mat, frames-lines-samples",
        "mat-file, compressed.mat, samples-lines-frames",
        "mat-file, plain.mat, samples-lines-frames"
    })
    void axisOrders(String provider, String file, String order) throws IOException {
        assertWhole(provider, "axis-order=" + order, small(file));
    }

    @Test
    void anotherAxisOrderMeansAnotherGeometry() throws IOException {
        try (FrameSource source =
                open("hdf5-file", "axis-order=lines-samples-frames", small("contiguous.h5"))) {
            assertEquals(FRAMES, source.geometry().lines());
            assertEquals(LINES, source.geometry().samples());
            assertEquals(SAMPLES, source.frameCount());
            float[] line = new float[LINES];
            source.read(17).readLine(3, line, 0);
            assertEquals(TestFiles.sample(3, 4, 17), line[4]);
        }
    }

    @ParameterizedTest
    @CsvSource({"hdf5-file, single-frame.h5", "mat-file, single-frame.mat"})
    void anArrayOfTwoAxesIsOneFrame(String provider, String file) throws IOException {
        try (FrameSource source = open(provider, "", small(file))) {
            assertEquals(1, source.frameCount());
            assertEquals(TestFiles.geometry(), source.geometry());
            assertEquals(LINES * SAMPLES, assertSamples(source, 1));
        }
    }

    @Test
    void matFilesAreRecognisedByTheirFirstBytes() {
        MatFileProvider mat = new MatFileProvider();
        Hdf5FileProvider hdf5 = new Hdf5FileProvider();
        assertTrue(mat.recognises(small("plain.mat").toString()));
        assertTrue(mat.recognises(small("compressed.mat").toString()));
        assertFalse(mat.recognises(small("version-7.3.mat").toString()));
        assertFalse(mat.recognises(small("contiguous.h5").toString()));
        assertFalse(hdf5.recognises(small("plain.mat").toString()));
        assertFalse(hdf5.recognises(small("make_small.py").toString()));
        assertFalse(hdf5.recognises("no such file"));
        assertFalse(mat.recognises("no such file"));
        assertFalse(mat.recognises("\0"));
    }

    @Test
    void theProvidersAreInTheCatalogue() {
        assertTrue(
                Catalogue.frameSources()
                        .names()
                        .containsAll(List.of("hdf5-file", "mat-file", "raw-file")));
    }

    @ParameterizedTest
    @CsvSource({
        "hdf5-file, several.h5, /scan/left, 1, INT16",
        "hdf5-file, several.h5, scan/right, -1, FLOAT32",
        "mat-file, several.mat, left, 1, INT16",
        "mat-file, several.mat, right, -1, FLOAT32"
    })
    void arraysAreChosenByName(
            String provider, String file, String name, double factor, SampleType type)
            throws IOException {
        try (FrameSource source = open(provider, SCAN + ",array-name=" + name, small(file))) {
            assertEquals(TestFiles.geometry(), source.geometry());
            assertEquals(type, source.sampleType());
            assertEquals(FRAMES * LINES * SAMPLES, assertSamples(source, factor));
        }
    }

    @Test
    void ambiguousArraysAreListed() {
        assertFails(
                IllegalArgumentException.class,
                () -> open("hdf5-file", SCAN, small("several.h5")),
                small("several.h5"),
                "array-name",
                "/scan/left (5 x 6 x 20, int16)",
                "/scan/right (5 x 6 x 20, float32)");
        assertFails(
                IllegalArgumentException.class,
                () -> open("mat-file", SCAN, small("several.mat")),
                small("several.mat"),
                "array-name",
                "left (20 x 6 x 5, int16)",
                "right (20 x 6 x 5, single)");
    }

    @Test
    void anUnknownArrayIsAnsweredWithThoseThereAre() {
        assertFails(
                IllegalArgumentException.class,
                () -> open("hdf5-file", SCAN + ",array-name=scan", small("several.h5")),
                small("several.h5"),
                "'scan'",
                "/scan/left (5 x 6 x 20, int16)",
                "/scan/time (5, float64)",
                "/note (scalar, ");
        assertFails(
                IllegalArgumentException.class,
                () -> open("mat-file", SCAN + ",array-name=Left", small("several.mat")),
                small("several.mat"),
                "'Left'",
                "left (20 x 6 x 5, int16)",
                "time (1 x 5, double)",
                "note (1 x 1, char)".replace("1 x 1", "1 x 9"));
    }

    @ParameterizedTest
    @CsvSource({
        "hdf5-file, several.h5, /analytic, complex",
        "hdf5-file, several.h5, /half, float16",
        "hdf5-file, several.h5, /long, int64",
        "hdf5-file, several.h5, /four, 5 x 2 x 3 x 20",
        "hdf5-file, several.h5, /nothing, 0 x 6 x 20",
        "hdf5-file, several.h5, /note, scalar",
        "hdf5-file, several.h5, /scan/time, float64",
        "hdf5-file, version-7.3.mat, /operator, char",
        "hdf5-file, version-7.3.mat, /mask, logical",
        "mat-file, several.mat, analytic, complex double",
        "mat-file, several.mat, mask, logical",
        "mat-file, several.mat, four, 20 x 2 x 3 x 5",
        "mat-file, several.mat, note, char",
        "mat-file, several.mat, cells, cell",
        "mat-file, several.mat, nested, struct"
    })
    void arraysThatCannotHoldFramesAreRefused(
            String provider, String file, String name, String what) {
        assertFails(
                IllegalArgumentException.class,
                () -> open(provider, SCAN + ",array-name=" + name, small(file)),
                small(file),
                "array " + name + " (",
                what,
                "expected 2 or 3 axes",
                "int8, uint8, int16, uint16, int32, uint32, float32, float64");
    }

    @Test
    void aFileWithoutFramesIsRefused() {
        assertFails(
                IOException.class,
                () -> open("hdf5-file", SCAN, small("none.h5")),
                small("none.h5"),
                "/time (5, float64)");
        assertFails(
                IOException.class,
                () -> open("mat-file", SCAN, small("none.mat")),
                small("none.mat"),
                "time (1 x 5, double)");
    }

    @Test
    void missingScanParametersAreListedWithTheirNames() {
        IllegalArgumentException failure =
                assertFails(
                        IllegalArgumentException.class,
                        () -> open("hdf5-file", "array-name=scan/left", small("several.h5")),
                        small("several.h5"),
                        "sampling-frequency (sampling_frequency_hz)",
                        "centre-frequency (centre_frequency_hz)",
                        "first-depth (first_sample_depth_m)",
                        "line-pitch (line_pitch_m)",
                        "probe-radius (probe_radius_m)",
                        "angular-pitch (angular_pitch_rad)");
        assertFalse(failure.getMessage().contains("sound-speed"));
        assertFalse(failure.getMessage().contains("frame-rate"));
        assertFails(
                IllegalArgumentException.class,
                () ->
                        open(
                                "mat-file",
                                "array-name=left,sampling-frequency=4e7,centre-frequency=7.5e6,"
                                        + "first-depth=0,probe-radius=0.06",
                                small("several.mat")),
                small("several.mat") + " does not say: angular-pitch (angular_pitch_rad);");
    }

    @Test
    void soundSpeedAndFrameRateMayBeUnknown() throws IOException {
        String text =
                "array-name=scan/left,sampling-frequency=4e7,centre-frequency=7.5e6,first-depth=0,"
                        + "probe-radius=0.06,angular-pitch=0.01";
        try (FrameSource source = open("hdf5-file", text, small("several.h5"))) {
            // Common practice, no source: 1540 m/s in soft tissue.
            assertEquals(
                    new ScanGeometry(
                            LINES,
                            SAMPLES,
                            4e7,
                            7.5e6,
                            1540,
                            0,
                            new LineLayout.Convex(0.06, 0.01),
                            Double.NaN),
                    source.geometry());
            assertEquals(0, source.read(3).timeNanos());
        }
    }

    @Test
    void givenParametersWinOverTheFile() throws IOException {
        String text =
                "sampling-frequency=5e7,centre-frequency=6e6,sound-speed=1450,first-depth=0.002,"
                        + "line-pitch=2e-4,frame-rate=25";
        for (String file : List.of("gzip-shuffle.h5", "plain.mat")) {
            String provider = file.endsWith("mat") ? "mat-file" : "hdf5-file";
            try (FrameSource source = open(provider, text, small(file))) {
                assertEquals(
                        ScanGeometry.linear(LINES, SAMPLES, 5e7, 6e6, 1450, 0.002, 2e-4, 25),
                        source.geometry());
            }
            try (FrameSource source =
                    open(provider, "probe-radius=0.06,angular-pitch=0.01", small(file))) {
                assertEquals(new LineLayout.Convex(0.06, 0.01), source.geometry().layout());
            }
        }
    }

    @Test
    void linearAndConvexDoNotGoTogether() {
        assertFails(
                IllegalArgumentException.class,
                () -> open("mat-file", "line-pitch=1e-4,probe-radius=0.06", small("plain.mat")),
                small("plain.mat"),
                "line-pitch",
                "probe-radius",
                "angular-pitch");
    }

    @Test
    void impossibleCombinationsAreRefused() {
        assertFails(
                IOException.class,
                () -> open("mat-file", "centre-frequency=3e7", small("plain.mat")),
                small("plain.mat"),
                "centre frequency is 3.0E7 Hz",
                "4.0E7");
        assertFails(
                IllegalArgumentException.class,
                () -> open("mat-file", "line-pitch=-1", small("plain.mat")),
                "line-pitch",
                "-1",
                "1.0E-6");
    }

    @ParameterizedTest
    @CsvSource({
        "int8, INT16, 100",
        "uint8, INT16, 100",
        "int16, INT16, 30000",
        "uint16, FLOAT32, 30000",
        "int32, FLOAT32, 7000000",
        "uint32, FLOAT32, 7000000",
        "float32, FLOAT32, 1000000",
        "float64, FLOAT32, 1000000"
    })
    void elementTypesOfHdf5(String name, SampleType type, float expected) throws IOException {
        try (FrameSource source = open("hdf5-file", "array-name=" + name, small("types.h5"))) {
            assertEquals(type, source.sampleType());
            float[] line = new float[3];
            RfFrame frame = source.read(0);
            frame.readLine(1, line, 0);
            assertEquals(expected, line[0]);
            boolean signed = !name.startsWith("u");
            assertEquals(
                    signed && !name.startsWith("f"), line[1] == -expected, name + " " + line[1]);
            assertEquals(name.startsWith("f"), Float.isNaN(line[1]));
        }
    }

    @ParameterizedTest
    @CsvSource({
        "int8, INT16, -128, 127",
        "uint8, INT16, 0, 255",
        "int16, INT16, -32768, 32767",
        "uint16, FLOAT32, 0, 65535",
        "int32, FLOAT32, -70000, 70000",
        "uint32, FLOAT32, 0, 4e9",
        "float32, FLOAT32, 0.5, NaN",
        "float64, FLOAT32, -0.25, 1e30"
    })
    void elementTypesOfMatFiles(String name, SampleType type, float first, float second)
            throws IOException {
        try (FrameSource source =
                open("mat-file", SCAN + ",array-name=" + name, small("types.mat"))) {
            assertEquals(type, source.sampleType());
            float[] line = new float[2];
            source.read(0).readLine(0, line, 0);
            assertEquals(first, line[0]);
            assertEquals(second, line[1]);
        }
    }

    @Test
    void framesOfAnotherKindAreRefused() throws IOException {
        try (FrameSource source = open("hdf5-file", "", small("contiguous.h5"))) {
            ScanGeometry other =
                    ScanGeometry.linear(LINES, SAMPLES + 1, 4e7, 7.5e6, 1500, 1e-3, 3e-4, 50);
            assertFails(
                    IllegalArgumentException.class,
                    () -> source.read(0, RfFrame.allocate(other, SampleType.INT16)),
                    "geometry of the frame");
            assertThrows(IndexOutOfBoundsException.class, () -> source.read(FRAMES));
            assertThrows(IndexOutOfBoundsException.class, () -> source.read(-1));
            RfFrame floats = RfFrame.allocate(source.geometry(), SampleType.FLOAT32);
            source.read(4, floats);
            assertEquals(LINES * SAMPLES, assertSamples(floats, 4, 1, new float[SAMPLES]));
        }
        try (FrameSource source =
                open("hdf5-file", SCAN + ",array-name=scan/right", small("several.h5"))) {
            assertFails(
                    IllegalArgumentException.class,
                    () -> source.read(0, RfFrame.allocate(source.geometry(), SampleType.INT16)),
                    "INT16",
                    "FLOAT32");
        }
    }

    @Test
    void filesOfAnotherKindAreRefused(@TempDir Path folder) throws IOException {
        assertFails(
                IOException.class,
                () -> open("hdf5-file", "", small("plain.mat")),
                small("plain.mat"),
                "89 48 44 46");
        assertFails(
                IOException.class,
                () -> open("mat-file", "", small("contiguous.h5")),
                small("contiguous.h5"),
                "expected a MAT-file of level 5");
        assertFails(
                IOException.class,
                () -> open("mat-file", "", small("version-7.3.mat")),
                small("version-7.3.mat"),
                "version 7.3 is an HDF5 file");
        for (String provider : List.of("hdf5-file", "mat-file")) {
            assertFails(IOException.class, () -> open(provider, "", folder), folder, "folder");
            assertFails(
                    IOException.class,
                    () -> open(provider, "", folder.resolve("gone")),
                    "gone",
                    "no such file");
            Path empty = Files.createFile(folder.resolve(provider));
            assertFails(IOException.class, () -> open(provider, "", empty), empty);
        }
    }
}
