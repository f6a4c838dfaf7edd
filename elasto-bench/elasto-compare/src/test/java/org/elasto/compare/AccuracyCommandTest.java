package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class AccuracyCommandTest {

    @TempDir private Path folder;

    @Test
    void noiseGivesTableCsvAndPlot() throws IOException {
        assertEquals(
                0,
                Main.run(
                        "accuracy",
                        "--only",
                        "noise",
                        "--estimator",
                        "coarse-to-fine-phase:search-range=5e-4",
                        "--to",
                        folder.toString()));
        List<String> rows = Files.readAllLines(folder.resolve("accuracy.csv"));
        assertEquals(6, rows.size());
        double before = 0;
        for (String row : rows.subList(1, rows.size())) {
            String[] words = row.split(",");
            double error = Double.parseDouble(words[3]);
            // From 40 dB down to 0 dB the error can only grow, and never falls below a bound.
            assertTrue(error > before && error < 5e-6, row);
            assertTrue(Double.parseDouble(words[5]) > 0.9, row);
            assertEquals(0, Double.parseDouble(words[6]), row);
            before = error;
        }
        assertTrue(Files.readString(folder.resolve("accuracy.txt")).contains("Not a medical"));
        assertTrue(ImageIO.read(folder.resolve("accuracy.png").toFile()).getWidth() > 500);
    }

    @Test
    void whatIsNotThereIsRefused() {
        assertEquals(1, Main.run("accuracy", "--only", "weather", "--to", folder.toString()));
        assertEquals(1, Main.run("accuracy", "--estimator", "magic", "--to", folder.toString()));
        assertEquals(0, folder.toFile().list().length);
    }
}
