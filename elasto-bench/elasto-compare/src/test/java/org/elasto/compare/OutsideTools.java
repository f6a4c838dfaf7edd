package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Assumptions;

/**
 * Programs that some tests need and that are not part of the build. Where one is missing the test
 * is skipped and says so, unless the system property {@code elasto.tools} is {@code required}, as
 * in continuous integration.
 */
final class OutsideTools {

    private static final long SECONDS = 120;

    private OutsideTools() {}

    /** A browser. */
    static Path chromium() {
        Path found = null;
        for (String name : new String[] {"/usr/bin/chromium", "/usr/bin/chromium-browser"}) {
            found = found == null && Files.isExecutable(Path.of(name)) ? Path.of(name) : found;
        }
        need(found != null, "chromium is not here; apt-get install chromium");
        return found;
    }

    /** A Python with h5py and NumPy. */
    static Path python() throws IOException, InterruptedException {
        Path python = Path.of("/usr/bin/python3");
        boolean there =
                Files.isExecutable(python)
                        && run(List.of(python.toString(), "-c", "import h5py, numpy")).status()
                                == 0;
        need(there, "python3 with h5py is not here; apt-get install python3-h5py");
        return python;
    }

    private static void need(boolean there, String message) {
        if ("required".equals(System.getProperty("elasto.tools"))) {
            assertTrue(there, message);
        }
        if (!there) {
            System.out.println("skipped: " + message);
        }
        Assumptions.assumeTrue(there, message);
    }

    /** Runs a program to its end. */
    static Commands.Outcome run(List<String> line) throws IOException, InterruptedException {
        Path out = Files.createTempFile("elasto", ".out");
        Path err = Files.createTempFile("elasto", ".err");
        try {
            Process process =
                    new ProcessBuilder(line)
                            .redirectOutput(out.toFile())
                            .redirectError(err.toFile())
                            .start();
            if (!process.waitFor(SECONDS, TimeUnit.SECONDS)) {
                process.destroyForcibly();
                throw new AssertionError(line + " did not end within " + SECONDS + " s");
            }
            return new Commands.Outcome(
                    process.exitValue(),
                    Files.readString(out, StandardCharsets.UTF_8),
                    Files.readString(err, StandardCharsets.UTF_8));
        } finally {
            Files.delete(out);
            Files.delete(err);
        }
    }
}
