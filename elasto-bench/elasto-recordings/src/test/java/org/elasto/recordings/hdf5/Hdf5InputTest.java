package org.elasto.recordings.hdf5;

import static org.elasto.recordings.TestFiles.FRAMES;
import static org.elasto.recordings.TestFiles.LINES;
import static org.elasto.recordings.TestFiles.SAMPLES;
import static org.elasto.recordings.TestFiles.assertFails;
import static org.elasto.recordings.TestFiles.small;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import io.jhdf.HdfFile;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Random;
import org.elasto.recordings.TestFiles;
import org.elasto.recordings.array.StoredArray;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class Hdf5InputTest {

    /**
     * Every place along every axis, read through the file and from memory, compared with the whole
     * array as jHDF reads it (whole reads are right in jHDF 0.10.0, slices beyond the first chunk
     * are not).
     */
    @ParameterizedTest
    @ValueSource(
            strings = {
                "gzip-shuffle.h5",
                "gzip-shuffle-latest.h5",
                "extensible-latest.h5",
                "big-endian.h5",
                "contiguous.h5",
                "contiguous-big-endian.h5",
                "compact.h5",
                "version-7.3.mat"
            })
    void slabsAlongEveryAxisAreThoseOfAWholeRead(String name) throws IOException {
        short[][][] whole;
        try (HdfFile hdf = new HdfFile(small(name))) {
            whole = (short[][][]) hdf.getDatasetByPath("/rf").getData();
        }
        assertEquals(FRAMES, whole.length);
        int compared = 0;
        for (long inMemory : new long[] {0, Long.MAX_VALUE}) {
            try (Hdf5Input input = Hdf5Input.open(small(name), inMemory)) {
                StoredArray array = input.array("/rf");
                for (int axis = 0; axis < 3; axis++) {
                    ByteBuffer bytes = array.newBuffer(axis);
                    for (int index = array.size(axis) - 1; index >= 0; index--) {
                        bytes.clear();
                        array.readSlab(axis, index, bytes);
                        assertEquals(bytes.capacity(), bytes.position());
                        compared += compare(whole, axis, index, bytes);
                    }
                }
                double[] all = array.readNumbers();
                for (int i = 0; i < all.length; i++, compared++) {
                    int line = i / SAMPLES;
                    assertEquals(whole[line / LINES][line % LINES][i % SAMPLES], all[i]);
                }
            }
        }
        assertEquals(2 * 4 * FRAMES * LINES * SAMPLES, compared);
    }

    private static int compare(short[][][] whole, int axis, int index, ByteBuffer bytes) {
        int at = 0;
        for (int f = 0; f < FRAMES; f++) {
            for (int l = 0; l < LINES; l++) {
                for (int s = 0; s < SAMPLES; s++) {
                    if (new int[] {f, l, s}[axis] == index) {
                        assertEquals(whole[f][l][s], bytes.getShort(2 * at++));
                        assertEquals(TestFiles.sample(f, l, s), whole[f][l][s]);
                    }
                }
            }
        }
        return at;
    }

    /** Read through the file, a damaged place is told by its byte offset. */
    @Test
    void anEndThatIsEarlyIsToldByItsPlace(@TempDir Path folder) throws IOException {
        byte[] bytes = Files.readAllBytes(small("fletcher-only.h5"));
        Path file = Files.write(folder.resolve("cut.h5"), Arrays.copyOf(bytes, 6200));
        try (Hdf5Input input = Hdf5Input.open(file, 0)) {
            assertTrue(input.damage().orElseThrow().contains("ends at byte offset 6200"));
            StoredArray array = input.array("/rf");
            assertFails(
                    IOException.class,
                    array::readNumbers,
                    file,
                    "/rf, chunk at [",
                    "expected 88 bytes at byte offset ",
                    "ends at byte offset 6200");
        }
        Path header = Files.write(folder.resolve("header.h5"), Arrays.copyOf(bytes, 90));
        assertFails(
                IOException.class,
                () -> Hdf5Input.open(header, 0).close(),
                header,
                "ends at byte offset 90");
    }

    /**
     * Read through the file, as larger ones are; smaller ones are fuzzed with the frame sources.
     */
    @Test
    void spoiledFilesGiveAnIoExceptionOrNumbers(@TempDir Path folder) throws IOException {
        byte[] whole = Files.readAllBytes(small("gzip-shuffle.h5"));
        int failed = 0;
        for (int seed = 0; seed < 40; seed++) {
            Random random = new Random(seed);
            byte[] bytes = whole.clone();
            for (int i = 0; i < 3; i++) {
                bytes[random.nextInt(2048)] = (byte) random.nextInt(256);
            }
            Path file = Files.write(folder.resolve("spoiled.h5"), bytes);
            try (Hdf5Input input = Hdf5Input.open(file, 0)) {
                assertFalse(input.arrays().toString().isEmpty());
                input.array("/rf").readNumbers();
            } catch (IOException e) {
                assertTrue(e.getMessage().contains(file.toString()), e::toString);
                failed++;
            }
        }
        assertTrue(failed > 0 && failed < 40, failed + " of 40");
    }

    @Test
    void numbersOfTheWrongKindAreRefused() throws IOException {
        try (Hdf5Input input = Hdf5Input.open(small("several.h5"))) {
            assertFails(
                    IOException.class,
                    () -> input.number("/scan/left", "note"),
                    small("several.h5"),
                    "expected note to be a single number",
                    "a phantom");
            assertFails(
                    IOException.class,
                    () -> input.number("/scan/left", "time"),
                    "expected time to be a single number",
                    "5 elements");
            assertTrue(Double.isNaN(input.number("/scan/left", "anything")));
            assertFalse(input.contains("anything"));
            assertTrue(input.contains("note"));
            assertFails(IOException.class, () -> input.text("anything"), "anything");
            assertFails(IOException.class, () -> input.array("/scan"), "/scan");
            assertFails(IOException.class, () -> input.array("/nowhere"), "/nowhere");
            assertFails(IOException.class, () -> input.array("/analytic"), "complex", "float32");
        }
    }
}
