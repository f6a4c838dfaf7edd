package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ComparisonTest {

    private static final String SMALL = ComparisonFolder.SOURCE + ComparisonFolder.ESTIMATORS;

    @TempDir private Path folder;

    private ComparisonFolder comparison;

    @BeforeEach
    void makeFolder() {
        comparison = new ComparisonFolder(folder);
    }

    private Map<Path, Object> cases() throws IOException {
        Map<Path, Object> keys = new HashMap<>();
        try (Stream<Path> paths = Files.list(comparison.out().resolve("cases"))) {
            for (Path path : paths.toList()) {
                keys.put(
                        path,
                        Files.readAttributes(
                                        path, java.nio.file.attribute.BasicFileAttributes.class)
                                .fileKey());
            }
        }
        return keys;
    }

    @Test
    void whatIsDoneIsNotDoneAgain() throws IOException {
        Commands.Outcome first = comparison.compare(SMALL);
        assertEquals(0, first.status(), first.err());
        assertTrue(first.out().contains("2 of 2 cases are done, 0 of them"), first.out());
        Map<Path, Object> before = cases();
        assertEquals(2, before.size());
        String table = Files.readString(comparison.out().resolve("table.csv"));

        Commands.Outcome second = comparison.compare(SMALL);
        assertTrue(second.out().contains("2 of 2 cases are done, 2 of them"), second.out());
        assertEquals(before, cases());
        // The table is made from what was kept, times included: nothing got lost.
        assertEquals(table, Files.readString(comparison.out().resolve("table.csv")));

        Path gone =
                before.keySet().stream()
                        .filter(p -> p.toString().contains("cross"))
                        .findAny()
                        .get();
        Files.writeString(gone.resolve("measured.toml"), "spoiled");
        Commands.Outcome third = comparison.compare(SMALL, "--again");
        assertTrue(third.out().contains("2 of 2 cases are done, 0 of them"), third.out());
        assertEquals(before.keySet(), cases().keySet());
        assertTrue(CaseMeasures.read(gone.resolve("measured.toml")).pairs().size() == 2);
    }

    @Test
    void whatIsChangedIsDoneAnew() throws IOException {
        comparison.compare(SMALL);
        String changed =
                SMALL.replace(
                        "name = \"cross-correlation\"",
                        "name = \"cross-correlation\"\nparameters = { window-length = [1e-3, 2e-3]"
                                + " }");
        assertNotEquals(SMALL, changed);
        Commands.Outcome outcome = comparison.compare(changed);
        assertTrue(outcome.out().contains("3 of 3 cases are done, 1 of them"), outcome.out());
        Commands.Outcome seed = comparison.compare(SMALL.replace("[3]", "[3, 4]"));
        assertTrue(seed.out().contains("4 of 4 cases are done, 2 of them"), seed.out());
    }

    @Test
    void aBadCaseIsReportedAndTheRunGoesOn() throws IOException {
        Path notes = Files.writeString(folder.resolve("notes.txt"), "no recording");
        String bad =
                "[[source]]\nlocation = \"missing.h5\"\n[[source]]\nlocation = \"notes.txt\"\n"
                        + SMALL
                        + "[[estimator]]\nlabel = \"too long\"\nname = \"cross-correlation\"\n"
                        + "parameters = { window-length = 2e-2 }\n";
        Commands.Outcome outcome = comparison.compare(bad.replace("1300", "600"));
        outcome.assertError(1, "missing.h5", "neither a file nor a phantom");
        assertTrue(outcome.out().contains("2 of 9 cases are done"), outcome.out());
        assertTrue(outcome.err().contains("too long"), outcome.err());
        assertTrue(outcome.err().contains(notes.toString()), outcome.err());
        String report = Files.readString(comparison.out().resolve("report.html"));
        assertTrue(report.contains("Cases that failed"));
        assertTrue(report.contains("missing.h5"));
        List<String> table = Files.readAllLines(comparison.out().resolve("table.csv"));
        assertEquals(1 + 7 + 2 * 2, table.size());
    }

    @Test
    void measuresAreNearWhatIsKnown() throws IOException {
        comparison.compare(SMALL);
        int compared = 0;
        for (Path path : cases().keySet()) {
            CaseMeasures measures = CaseMeasures.read(path.resolve("measured.toml"));
            double error = measures.value(Measure.DISPLACEMENT_ERROR);
            // Within a factor of the smallest possible error (Knapp and Carter, 1976), and not
            // much below it.
            double bound = measures.value(Measure.BOUND);
            assertTrue(error > 0.5 * bound && error < 20 * bound, error + " " + bound);
            // Steps of 6/7 and 8/7 of 0.35 % (Phantoms.pressAndRelease).
            assertEquals(0.0035, measures.value(Measure.TRUE_STRAIN), 0.0006);
            assertEquals(35, measures.signalToNoise(), 1.5);
            assertEquals(2, measures.inclusions().size());
            assertTrue(measures.displacementBins().size() > 2);
            compared++;
        }
        assertEquals(2, compared);
    }

    /** Many small cases, so that a run can be stopped in the middle. */
    private static String many() {
        StringBuilder seeds = new StringBuilder();
        for (int i = 1; i <= 150; i++) {
            seeds.append(i > 1 ? ", " : "").append(i);
        }
        return SMALL.replace("[3]", "[" + seeds + "]")
                .replace("lines = 24", "lines = 12")
                .replace("seeds", "pictures = false\nseeds");
    }

    private Process startAndAwaitFirstCase() throws IOException, InterruptedException {
        Path file = comparison.write(many());
        Process process =
                new ProcessBuilder(
                                Commands.line(
                                        "compare",
                                        file.toString(),
                                        "--to",
                                        comparison.out().toString()))
                        .redirectError(folder.resolve("err.txt").toFile())
                        .redirectOutput(folder.resolve("out.txt").toFile())
                        .start();
        Path cases = comparison.out().resolve("cases");
        for (int i = 0; i < 6000; i++) {
            boolean there = Files.isDirectory(cases);
            if (there && Commands.names(cases).stream().anyMatch(n -> !n.startsWith("."))) {
                return process;
            }
            assertTrue(process.isAlive(), () -> "ended early");
            Thread.sleep(10);
        }
        process.destroyForcibly();
        throw new AssertionError("no case within a minute");
    }

    @Test
    void anInterruptedRunLeavesNothingHalfDone() throws IOException, InterruptedException {
        Process process = startAndAwaitFirstCase();
        process.destroy(); // as a terminal's interrupt: the program may clear up
        assertTrue(process.waitFor(60, TimeUnit.SECONDS));
        assertEquals(128 + 15, process.exitValue());
        String err = Files.readString(folder.resolve("err.txt"));
        assertTrue(err.contains("error: interrupted"), err);
        assertTrue(err.contains("same command again"), err);
        assertFalse(Files.exists(comparison.out().resolve("report.html")));
        List<String> cases = Commands.names(comparison.out().resolve("cases"));
        assertTrue(cases.size() < 300, "it was done before it could be interrupted");
        for (String name : cases) {
            assertFalse(name.startsWith("."), name);
            Path place = comparison.out().resolve("cases").resolve(name);
            assertEquals(List.of("measured.toml", "results.h5", "truth.h5"), Commands.names(place));
        }
    }

    @Test
    void aKilledRunLosesOnlyTheCaseInWork() throws IOException, InterruptedException {
        Process process = startAndAwaitFirstCase();
        process.destroyForcibly();
        assertTrue(process.waitFor(60, TimeUnit.SECONDS));
        Path cases = comparison.out().resolve("cases");
        List<String> kept = Commands.names(cases).stream().filter(n -> !n.startsWith(".")).toList();
        int sources = 1 + kept.size() / 2;
        StringBuilder seeds = new StringBuilder("1");
        for (int i = 2; i <= sources; i++) {
            seeds.append(", ").append(i);
        }
        String rest = many().replaceFirst("seeds = \\[[^]]*]", "seeds = [" + seeds + "]");
        Commands.Outcome outcome = comparison.compare(rest);
        assertEquals(0, outcome.status(), outcome.err());
        assertTrue(
                outcome.out().contains(kept.size() + " of them from before"),
                kept.size() + ": " + outcome.out());
        assertTrue(Commands.names(cases).stream().noneMatch(n -> n.startsWith(".")));
        assertEquals(2 * sources, Commands.names(cases).size());
    }
}
