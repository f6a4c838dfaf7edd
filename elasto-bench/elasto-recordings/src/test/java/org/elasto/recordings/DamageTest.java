package org.elasto.recordings;

import static org.elasto.recordings.TestFiles.FRAMES;
import static org.elasto.recordings.TestFiles.LINES;
import static org.elasto.recordings.TestFiles.SAMPLES;
import static org.elasto.recordings.TestFiles.assertFails;
import static org.elasto.recordings.TestFiles.assertSamples;
import static org.elasto.recordings.TestFiles.open;
import static org.elasto.recordings.TestFiles.small;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import io.jhdf.HdfFile;
import io.jhdf.api.dataset.ChunkedDataset;
import io.jhdf.api.dataset.ContiguousDataset;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.Random;
import org.elasto.api.RfFrame;
import org.elasto.api.plugin.FrameSource;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Truncated and corrupt files. */
class DamageTest {

    private static final String SCAN =
            "sampling-frequency=4e7,centre-frequency=7.5e6,sound-speed=1500,first-depth=1e-3,"
                    + "line-pitch=3e-4,frame-rate=50";

    @TempDir Path folder;

    private Path damaged(String name, byte[] bytes) throws IOException {
        return Files.write(folder.resolve(name), bytes);
    }

    private Path cut(String name, int length) throws IOException {
        return damaged(name, Arrays.copyOf(Files.readAllBytes(small(name)), length));
    }

    /** Offset of a pattern in a file. */
    private static int find(byte[] bytes, byte[] pattern) {
        for (int i = 0; i + pattern.length <= bytes.length; i++) {
            if (Arrays.equals(bytes, i, i + pattern.length, pattern, 0, pattern.length)) {
                return i;
            }
        }
        return fail("the pattern is not in the file");
    }

    private static byte[] chunk(String name, int... at) {
        try (HdfFile hdf = new HdfFile(small(name))) {
            ByteBuffer raw = ((ChunkedDataset) hdf.getDatasetByPath("/rf")).getRawChunkBuffer(at);
            byte[] bytes = new byte[raw.remaining()];
            raw.get(bytes);
            return bytes;
        }
    }

    /** Flips a bit of the chunk that holds line 5, sample 10 of frames 2 and 3. */
    @ParameterizedTest
    @CsvSource({
        "gzip-shuffle.h5, compressed data",
        "gzip-shuffle-latest.h5, compressed data",
        "fletcher.h5, checksum"
    })
    void framesWithoutTheDamagedChunkStayReadable(String name, String expected) throws IOException {
        byte[] bytes = Files.readAllBytes(small(name));
        byte[] chunk = chunk(name, 2, 4, 7);
        bytes[find(bytes, chunk) + chunk.length / 2] ^= 0x10;
        Path file = damaged(name, bytes);
        try (FrameSource source = open("hdf5-file", "", file)) {
            assertEquals(FRAMES, source.frameCount());
            RfFrame frame = source.newFrame();
            for (int f = 0; f < FRAMES; f++) {
                int number = f;
                if (f == 2 || f == 3) {
                    assertFails(
                            IOException.class,
                            () -> source.read(number, frame),
                            file,
                            "/rf",
                            "chunk at [2, 4, 7]",
                            "expected",
                            expected,
                            "found");
                } else {
                    source.read(f, frame);
                    assertSamples(frame, f, 1, new float[SAMPLES]);
                }
            }
        }
    }

    @Test
    void aChecksumNoticesWhatPlainSamplesCannot() throws IOException {
        byte[] bytes = Files.readAllBytes(small("fletcher-only.h5"));
        byte[] chunk = chunk("fletcher-only.h5", 3, 0, 14);
        assertEquals(84 + 4, chunk.length);
        for (int i = 0; i < chunk.length; i++) {
            byte[] flipped = bytes.clone();
            flipped[find(bytes, chunk) + i] ^= 1;
            Path file = damaged("flipped.h5", flipped);
            try (FrameSource source = open("hdf5-file", "", file)) {
                source.read(2);
                assertFails(
                        IOException.class, () -> source.read(3), file, "[3, 0, 14]", "checksum");
                source.read(4);
            }
        }
    }

    @Test
    void aChunkThatWasNeverWrittenIsNoSilence() throws IOException {
        Path file = small("unwritten.h5");
        try (FrameSource source = open("hdf5-file", "", file)) {
            for (int f : new int[] {0, 1, 2, 4}) {
                assertSamples(source.read(f), f, 1, new float[SAMPLES]);
            }
            assertFails(
                    IOException.class,
                    () -> source.read(3),
                    file,
                    "chunk at [3, 0, 0]",
                    "never written");
        }
    }

    @Test
    void framesBeforeTheEndOfAContiguousDataSetStayReadable() throws IOException {
        long start;
        try (HdfFile hdf = new HdfFile(small("contiguous.h5"))) {
            start = ((ContiguousDataset) hdf.getDatasetByPath("/rf")).getDataAddress();
        }
        int length = (int) start + 3 * 240 + 17;
        Path file = cut("contiguous.h5", length);
        try (FrameSource source = open("hdf5-file", "", file)) {
            assertEquals(3, source.frameCount());
            assertEquals(3 * LINES * SAMPLES, assertSamples(source, 1));
            String damage = source.damage().orElseThrow();
            assertTrue(damage.contains(file.toString()), damage);
            assertTrue(damage.contains("ends at byte offset " + length), damage);
        }
    }

    @Test
    void chunksBeforeTheEndStayReadable() throws IOException {
        // Chunks of one frame each, the last written ones cut off.
        byte[] bytes = Files.readAllBytes(small("fletcher-only.h5"));
        int cut = 0;
        for (int sample : new int[] {0, 7, 14}) {
            cut = Math.max(cut, find(bytes, chunk("fletcher-only.h5", 4, 0, sample)));
        }
        Path file = damaged("cut.h5", Arrays.copyOf(bytes, cut + 10));
        try (FrameSource source = open("hdf5-file", "", file)) {
            for (int f = 0; f < 4; f++) {
                assertSamples(source.read(f), f, 1, new float[SAMPLES]);
            }
            assertFails(
                    IOException.class,
                    () -> source.read(4),
                    file,
                    "/rf, chunk at [4, 0, ",
                    "ends at byte offset " + (cut + 10));
            assertTrue(source.damage().isPresent());
        }
    }

    @Test
    void aCutHeaderIsNamed() throws IOException {
        Path file = cut("gzip-shuffle.h5", 300);
        assertFails(
                IOException.class,
                () -> open("hdf5-file", "", file),
                file,
                "expected 6471 bytes, but the file ends at byte offset 300");
    }

    /** In plain.mat and compressed.mat rf is samples x lines x frames. */
    @ParameterizedTest
    @CsvSource({"plain.mat, 3", "compressed.mat, 2"})
    void framesOfACutMatFileStayReadable(String name, int least) throws IOException {
        byte[] bytes = Files.readAllBytes(small(name));
        // The scan parameters come last in plain.mat, so they are lost and have to be given.
        int length = name.equals("plain.mat") ? 128 + 64 + 3 * 240 + 20 : bytes.length - 500;
        Path file = damaged(name, Arrays.copyOf(bytes, length));
        try (FrameSource source = open("mat-file", SCAN, file)) {
            assertTrue(source.frameCount() >= least, "only " + source.frameCount());
            assertTrue(source.frameCount() < FRAMES);
            assertEquals(source.frameCount() * LINES * SAMPLES, assertSamples(source, 1));
            String damage = source.damage().orElseThrow();
            assertTrue(damage.contains(file.toString()), damage);
            assertTrue(damage.contains("ends at byte offset " + length), damage);
        }
    }

    @Test
    void aCutMatFileSaysWhatItLost() throws IOException {
        Path first = cut("plain.mat", 128 + 64 + 100);
        assertFails(
                IOException.class,
                () -> open("mat-file", SCAN, first),
                first,
                "variable rf",
                "expected 1200 bytes, found 100",
                "byte offset 292");
        Path header = cut("plain.mat", 100);
        assertFails(
                IOException.class,
                () -> open("mat-file", SCAN, header),
                header,
                "expected 128 bytes at byte offset 0",
                "ends at byte offset 100");
    }

    @Test
    void aFlippedBitInACompressedVariableIsNoticed() throws IOException {
        byte[] bytes = Files.readAllBytes(small("compressed.mat"));
        int noticed = 0;
        // rf comes last; its checksum is the last four bytes.
        for (int i = bytes.length - 1; i > bytes.length - 400; i -= 7) {
            byte[] flipped = bytes.clone();
            flipped[i] ^= 4;
            Path file = damaged("flipped.mat", flipped);
            assertFails(
                    IOException.class,
                    () -> open("mat-file", "", file),
                    file,
                    "variable rf",
                    "byte offset");
            noticed++;
        }
        assertEquals(57, noticed);
    }

    @Test
    void damageToOneVariableLeavesTheOthers() throws IOException {
        byte[] bytes = Files.readAllBytes(small("compressed.mat"));
        bytes[128 + 8 + 20] ^= 4; // within the first variable, a scan parameter
        Path file = damaged("flipped.mat", bytes);
        try (FrameSource source = open("mat-file", SCAN, file)) {
            assertEquals(FRAMES * LINES * SAMPLES, assertSamples(source, 1));
        }
    }

    @Test
    void anArrayThatMemoryCannotHoldIsToldBeforeItIsRead() throws IOException {
        byte[] bytes = Files.readAllBytes(small("plain.mat"));
        // The sizes of rf are three 32-bit integers 20, 6, 5 from byte offset 160 on.
        ByteBuffer sizes = ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
        assertEquals(20, sizes.getInt(160));
        sizes.putInt(160, 1 << 16).putInt(164, 1 << 16);
        Path file = damaged("large.mat", bytes);
        assertFails(
                IOException.class,
                () -> open("mat-file", "", file),
                file,
                "variable rf",
                "65536 x 65536 x 5",
                "at most 2147483639",
                "read frame by frame");
        // A size that the variable cannot hold, in the tag of its samples.
        byte[] absurd = Files.readAllBytes(small("plain.mat"));
        assertEquals(1200, ByteBuffer.wrap(absurd).order(ByteOrder.LITTLE_ENDIAN).getInt(188));
        ByteBuffer.wrap(absurd).order(ByteOrder.LITTLE_ENDIAN).putInt(188, 2_000_000_000);
        Path second = damaged("absurd.mat", absurd);
        assertFails(
                IOException.class,
                () -> open("mat-file", "", second),
                second,
                "variable rf",
                "at most 1264 bytes",
                "found a size of 2000000000");
    }

    @Test
    void aTagWithoutSenseIsNamed() throws IOException {
        byte[] bytes = Files.readAllBytes(small("plain.mat"));
        bytes[128] = 77;
        Path file = damaged("tag.mat", bytes);
        assertFails(
                IOException.class,
                () -> open("mat-file", "", file),
                file,
                "expected a variable (tag 14 or 15) at byte offset 128",
                "found tag 77");
    }

    /**
     * Whatever is in a file, it gives frames, an IOException or an IllegalArgumentException, and
     * that soon.
     */
    @ParameterizedTest
    @CsvSource({
        "hdf5-file, gzip-shuffle.h5, 300",
        "hdf5-file, gzip-shuffle-latest.h5, 300",
        "hdf5-file, extensible-latest.h5, 200",
        "hdf5-file, contiguous.h5, 300",
        "hdf5-file, lzf.h5, 200",
        "hdf5-file, several.h5, 200",
        "hdf5-file, version-7.3.mat, 200",
        "mat-file, plain.mat, 300",
        "mat-file, compressed.mat, 300",
        "mat-file, several.mat, 300"
    })
    void nothingElseThanDocumentedComesOut(String provider, String name, int tries)
            throws IOException {
        byte[] whole = Files.readAllBytes(small(name));
        String parameters =
                name.startsWith("several")
                        ? SCAN
                                + ",array-name="
                                + (provider.startsWith("mat") ? "left" : "scan/left")
                        : "";
        int[] outcomes = new int[3];
        for (int seed = 0; seed < tries; seed++) {
            Path file = damaged("fuzzed", spoil(whole, new Random(seed)));
            int number = seed;
            int outcome =
                    assertTimeoutPreemptively(
                            Duration.ofSeconds(60),
                            () -> outcome(provider, parameters, file, number));
            outcomes[outcome]++;
        }
        // Damage was found when opening, when reading, and sometimes lay where it does not matter.
        assertEquals(tries, outcomes[0] + outcomes[1] + outcomes[2]);
        assertTrue(outcomes[0] > 0 && outcomes[2] > 0, Arrays.toString(outcomes));
    }

    private static int outcome(String provider, String parameters, Path file, int seed) {
        FrameSource source;
        try {
            source = open(provider, parameters, file);
        } catch (IOException | IllegalArgumentException e) {
            assertTrue(e.getMessage().contains(file.toString()), () -> seed + ": " + e);
            return 0;
        } catch (Throwable e) {
            throw new AssertionError("seed " + seed + " opening", e);
        }
        int outcome = 2;
        try (source) {
            RfFrame frame = source.newFrame();
            for (int f = 0; f < Math.min(source.frameCount(), 50); f++) {
                try {
                    source.read(f, frame);
                } catch (IOException e) {
                    assertTrue(e.getMessage().contains(file.toString()), () -> seed + ": " + e);
                    outcome = 1;
                }
            }
        } catch (Throwable e) {
            throw new AssertionError("seed " + seed + " reading", e);
        }
        return outcome;
    }

    /** Flips bits, overwrites bytes, zeroes a stretch, or cuts. */
    private static byte[] spoil(byte[] whole, Random random) {
        byte[] bytes = whole.clone();
        int kind = random.nextInt(8);
        if (kind == 0) {
            return Arrays.copyOf(bytes, random.nextInt(bytes.length));
        }
        if (kind == 1) {
            int at = random.nextInt(bytes.length);
            int end = Math.min(bytes.length, at + 1 + random.nextInt(64));
            Arrays.fill(bytes, at, end, (byte) (random.nextBoolean() ? 0 : 0xff));
            return bytes;
        }
        // Structure lies at the start of each of these files, so most hits go there.
        int reach = kind < 6 ? Math.min(bytes.length, 2048) : bytes.length;
        for (int i = 1 + random.nextInt(4); i > 0; i--) {
            int at = random.nextInt(reach);
            bytes[at] =
                    random.nextBoolean()
                            ? (byte) (bytes[at] ^ 1 << random.nextInt(8))
                            : (byte) random.nextInt(256);
        }
        return bytes;
    }
}
