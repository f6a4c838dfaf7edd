package org.elasto.jmh.result;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ResultFileTest {

    @TempDir Path folder;

    private Path file(String text) throws IOException {
        Path file = folder.resolve("run.json");
        Files.writeString(file, text);
        return file;
    }

    @Test
    void readsWhatJmhWrites() throws IOException {
        Timing made = MadeUp.timing("Floor.floor", 2, 3, 4, 1, 0.1, new Random(1));
        Timing read = ResultFile.read(file("[" + MadeUp.json(made, "ms/op") + "]")).get(0);
        assertEquals(made.key(), read.key());
        assertArrayEquals(made.milliseconds(), read.milliseconds());
        assertArrayEquals(made.floor(), read.floor());
        assertEquals(0.25, read.fact("error-um"));
        assertEquals(128 * 2337, read.samples());
    }

    @Test
    void theTableShowsThem() throws IOException {
        Timing made =
                new Timing(
                        "Floor.floor",
                        "100x1000",
                        1,
                        "",
                        new double[][] {{2, 8, 2.5}},
                        new double[][] {{1, 2, 0.5}},
                        java.util.Map.of("error-um", 0.25));
        String text = new SpeedTable(List.of(made)).text();
        String row = text.lines().filter(l -> l.startsWith("Floor.floor ")).findFirst().get();
        // The medians: 2.5 ms, 400 frames/s, 25 ns for each of 100 000 samples, 4 floors.
        assertEquals(
                "Floor.floor 2.500 400 25.00 4.0 - 0.250 -", row.strip().replaceAll(" +", " "));
    }

    @Test
    void saysWhatIsWrongAndWhere() throws IOException {
        Timing made = MadeUp.timing("Floor.floor", 1, 2, 4, 1, 0.1, new Random(1));
        String good = MadeUp.json(made, "ms/op");
        refuses("no JSON", "[{");
        refuses("no list of benchmarks", "{}");
        refuses("entry 0: the unit is 's/op'", "[" + MadeUp.json(made, "s/op") + "]");
        refuses(
                "entry 1: 'floor-ms' is missing",
                "[" + good + "," + good.replace("floor-ms", "ceiling-ms") + "]");
        refuses("entry 0: the parameter 'size'", "[" + good.replace("\"size\"", "\"sighs\"") + "]");
        refuses(
                "entry 0: size or workers are '12', '1'",
                "[" + good.replace("128x2337", "12") + "]");
        refuses(
                "no raw data",
                "[" + good.replaceFirst("\"rawData\": \\[\\[.*?]]", "\"rawData\": []") + "]");
        refuses(
                "must be above 0",
                "[" + good.replaceFirst("\"rawData\": \\[\\[.*?]]", "\"rawData\": [[0, 1]]") + "]");
        refuses(
                "iterations of the floor and of the benchmark differ",
                "[" + good.replaceFirst("\"rawData\": \\[\\[.*?]]", "\"rawData\": [[1]]") + "]");
    }

    private void refuses(String words, String text) throws IOException {
        Path file = file(text);
        String message = assertThrows(IOException.class, () -> ResultFile.read(file)).getMessage();
        assertTrue(message.contains(words) && message.contains("run.json"), message);
    }
}
