package org.elasto.recordings;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSource;
import org.junit.jupiter.api.Assumptions;

/** Files to test with, and what is known of them. */
public final class TestFiles {

    /** Size of {@code rf} in every small file, see make_small.py beside them. */
    public static final int FRAMES = 5;

    public static final int LINES = 6;
    public static final int SAMPLES = 20;

    private TestFiles() {}

    /** Something that fails. */
    public interface Action {
        void run() throws Exception;
    }

    /** A small file that is committed with the tests. */
    public static Path small(String name) {
        try {
            return Path.of(TestFiles.class.getResource("/small/" + name).toURI());
        } catch (URISyntaxException e) {
            throw new IllegalArgumentException(e);
        }
    }

    /**
     * A whole recording; the test is skipped if there is none. They lie in the folder of the system
     * property elasto.recordings, or in a folder shared/recordings beside the project or above it.
     */
    public static Path recording(String name) {
        String given = System.getProperty("elasto.recordings", "");
        Path folder = given.isEmpty() ? null : Path.of(given);
        Path above = Path.of(System.getProperty("elasto.root", ".")).toAbsolutePath().normalize();
        while (folder == null && above != null) {
            Path candidate = above.resolve("shared/recordings");
            folder = Files.isDirectory(candidate) ? candidate : null;
            above = above.getParent();
        }
        Assumptions.assumeTrue(folder != null, "the whole recordings are not here");
        Path file = folder.resolve(name);
        assertTrue(Files.exists(file), "missing: " + file);
        return file;
    }

    /** The formula of make_small.py. */
    public static short sample(int frame, int line, int sample) {
        long key = 1000003L * frame + 10007L * line + 101L * sample + 12345;
        long hashed = key * 2654435761L & 0xffffffffL;
        return (short) ((hashed >> 16) - 32768);
    }

    /** Geometry of the small files. */
    public static ScanGeometry geometry() {
        return ScanGeometry.linear(LINES, SAMPLES, 4e7, 7.5e6, 1500, 1e-3, 3e-4, 50);
    }

    public static FrameSource open(String provider, String parameters, Path file)
            throws IOException {
        return Catalogue.open(Catalogue.frameSources().get(provider), parameters, file.toString());
    }

    /** Compares every sample of every frame with the formula; the number of samples compared. */
    public static int assertSamples(FrameSource source, double factor) throws IOException {
        int compared = 0;
        float[] line = new float[source.geometry().samples()];
        RfFrame frame = source.newFrame();
        for (int f = 0; f < source.frameCount(); f++) {
            source.read(f, frame);
            assertEquals(f, frame.index());
            assertEquals(Math.round(f / 50.0 * 1e9), frame.timeNanos());
            compared += assertSamples(frame, f, factor, line);
        }
        return compared;
    }

    public static int assertSamples(RfFrame frame, int f, double factor, float[] line) {
        for (int l = 0; l < LINES; l++) {
            frame.readLine(l, line, 0);
            for (int s = 0; s < SAMPLES; s++) {
                assertEquals(
                        (float) (factor * sample(f, l, s)),
                        line[s],
                        "frame " + f + " line " + l + " sample " + s);
            }
        }
        return LINES * SAMPLES;
    }

    /** Asserts that a small file opens, has the geometry it should, and every sample right. */
    public static void assertWhole(String provider, String parameters, Path file)
            throws IOException {
        try (FrameSource source = open(provider, parameters, file)) {
            assertEquals(geometry(), source.geometry());
            assertEquals(SampleType.INT16, source.sampleType());
            assertEquals(FRAMES, source.frameCount());
            assertTrue(source.damage().isEmpty(), () -> source.damage().toString());
            assertEquals(file.getFileName().toString(), source.name());
            assertEquals(FRAMES * LINES * SAMPLES, assertSamples(source, 1));
        }
    }

    /** Asserts that something fails with a message that contains all of some texts. */
    public static <E extends Exception> E assertFails(
            Class<E> type, Action action, Object... texts) {
        E failure = assertThrows(type, action::run);
        for (Object text : texts) {
            assertTrue(
                    failure.getMessage().contains(text.toString()),
                    () -> "'" + text + "' is not in: " + failure.getMessage());
        }
        return failure;
    }
}
