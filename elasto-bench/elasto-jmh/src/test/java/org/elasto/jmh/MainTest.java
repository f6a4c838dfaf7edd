package org.elasto.jmh;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.stream.Collectors;
import org.elasto.api.plugin.Catalogue;
import org.elasto.jmh.result.MadeUp;
import org.elasto.jmh.result.ResultFile;
import org.elasto.jmh.result.Timing;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

class MainTest {

    static {
        // Benchmarks that run meanwhile disturb times, which decide nothing here.
        System.setProperty("jmh.ignoreLock", "true");
    }

    @TempDir Path folder;
    private final StringWriter out = new StringWriter();
    private final StringWriter err = new StringWriter();

    private int run(String... arguments) {
        CommandLine line = Main.line();
        line.setOut(new PrintWriter(out));
        line.setErr(new PrintWriter(err));
        return line.execute(arguments);
    }

    private String file(String name, double factor) throws IOException {
        Random random = new Random(name.hashCode());
        String all =
                List.of(1.0, factor).stream()
                        .map(
                                f ->
                                        MadeUp.timing(
                                                "A.f" + (f == 1 ? 0 : 1),
                                                3,
                                                6,
                                                5 * f,
                                                2,
                                                0.01,
                                                random))
                        .map(timing -> MadeUp.json(timing, "ms/op"))
                        .collect(Collectors.joining(",", "[", "]"));
        Path file = folder.resolve(name);
        Files.writeString(file, all);
        return file.toString();
    }

    @Test
    void exitStatusSaysWhetherAnythingBecameSlower() throws IOException {
        String before = file("before.json", 1.0001);
        assertEquals(0, run("compare", before, file("same.json", 1.0002)));
        assertTrue(out.toString().contains("compared: 2; slower by more than noise and 5 %: 0"));
        assertEquals(CompareCommand.SLOWER, run("compare", before, file("slow.json", 1.3)));
        assertTrue(out.toString().contains("SLOWER"), out.toString());
        assertEquals(0, run("compare", before, file("slow.json", 1.3), "--tolerance", "0.5"));
        assertEquals(0, run("compare", file("slow.json", 1.3), before));
        assertTrue(out.toString().contains("faster"), out.toString());
    }

    @Test
    void whatCannotBeReadIsOneLine() {
        assertEquals(1, run("compare", folder.resolve("none").toString(), "none"));
        assertEquals(1, err.toString().strip().lines().count(), err.toString());
        assertEquals(2, run("compare"));
        assertEquals(1, run("run", "--only", "Nonesuch"));
        assertTrue(err.toString().contains("Displacement"), err.toString());
        assertEquals(1, run("run", "--size", "big"));
        assertEquals(1, run("latency", "--frames", "0"));
    }

    @Test
    void everyPluginOfTheCatalogueIsMeasured() {
        RunPlan.Wishes all = new RunPlan.Wishes("", List.of(), List.of(), List.of(), List.of(), 0);
        int displacement = Catalogue.displacementEstimators().names().size();
        RunPlan.Wishes pairs =
                new RunPlan.Wishes(
                        "Displ", List.of(), List.of(), List.of("16x512"), List.of("1"), 0);
        // The spectral peer has three settings.
        assertEquals(displacement + 2, RunPlan.of(true, pairs).get(0).count());
        RunPlan.Wishes strain =
                new RunPlan.Wishes(
                        "Strain", List.of(), List.of(), List.of("16x512"), List.of("1"), 0);
        assertEquals(
                Catalogue.strainEstimators().names().size(),
                RunPlan.of(true, strain).get(0).count());
        RunPlan.Wishes quality =
                new RunPlan.Wishes(
                        "Qual", List.of(), List.of(), List.of("16x512"), List.of("1"), 0);
        assertEquals(
                Catalogue.qualityMetrics().names().size(),
                RunPlan.of(true, quality).get(0).count());
        assertTrue(RunPlan.of(false, all).size() == 2);
    }

    /** The whole way once, on small frames, in a process of its own as always. */
    @Test
    void runsAndIsReadAgain() throws IOException {
        int status =
                run(
                        "run",
                        "--only",
                        "Live|Floor",
                        "--size",
                        "32x800",
                        "--workers",
                        "2",
                        "--to",
                        folder.toString());
        assertEquals(0, status, out + "\n" + err);
        List<Timing> timings = ResultFile.read(folder.resolve("speed.json"));
        assertEquals(2, timings.size());
        Timing live = timings.get(1);
        assertEquals("Live.frame preferred, 32x800, 2 workers", live.key());
        assertTrue(live.medianMilliseconds() > 0 && live.fact("stage-tracking-us") > 0);
        assertTrue(live.fact("compared-percent") > 50, "" + live.facts());
        String table = Files.readString(folder.resolve("speed.txt"));
        assertTrue(table.contains("Live.frame preferred") && table.contains("tracking"), table);
        assertTrue(!Files.readString(folder.resolve("speed.json")).contains("/bin/java"));
    }

    @Test
    void latencyIsMeasured() {
        assertEquals(0, run("latency", "--frames", "30", "--warm-up", "20", "--size", "32x800"));
        List<String> lines = out.toString().strip().lines().toList();
        assertEquals(4, lines.size(), out.toString());
        // The first is once as fast as itself; the other was compared with it.
        assertTrue(lines.get(2).strip().matches("1 +1\\.00 .*100\\.0%"), out.toString());
        assertTrue(lines.get(3).strip().matches("2 +\\d+\\.\\d\\d .*100\\.0%"), out.toString());
    }
}
