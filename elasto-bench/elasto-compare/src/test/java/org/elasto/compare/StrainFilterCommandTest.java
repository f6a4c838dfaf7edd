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

class StrainFilterCommandTest {

    @TempDir private Path folder;

    /**
     * The shape of the strain filter (Varghese & Ophir, IEEE Trans UFFC 44(1):164-172, 1997):
     * signal over noise rises in proportion where noise of the echo is all there is, rises less as
     * decorrelation sets in, and falls beyond. With fixed windows it does not pass what the
     * Cramer-Rao bound allows, but for the scatter of about a hundred independent places: two
     * deviations of 7 %.
     */
    @Test
    void signalOverNoiseRisesAndFallsWithStrain() throws IOException {
        assertEquals(
                0,
                Main.run(
                        "strain-filter",
                        "--strain-estimator",
                        "least-squares-line",
                        "--strain-estimator",
                        "generalised-least-squares",
                        "--strains",
                        "0.02,0.04,1,4.5",
                        "--lines",
                        "48",
                        "--seeds",
                        "1",
                        "--to",
                        folder.toString()));
        List<String> rows = Files.readAllLines(folder.resolve("strain-filter.csv"));
        assertEquals(9, rows.size());
        for (int from : new int[] {1, 5}) {
            double[] seen = new double[4];
            for (int i = 0; i < 4; i++) {
                String[] words = rows.get(from + i).split(",");
                seen[i] = Double.parseDouble(words[2]);
                double bound = Double.parseDouble(words[4]);
                // Not a number where nothing is trusted any more, which only the last may be.
                boolean nothing = i == 3 && words[7].equals("0.000") && Double.isNaN(seen[i]);
                assertTrue(nothing || seen[i] < 1.14 * bound, rows.get(from + i));
                if (i < 3) {
                    assertEquals(1, Double.parseDouble(words[5]), 0.02, rows.get(from + i));
                    assertTrue(Double.parseDouble(words[7]) > 0.9, rows.get(from + i));
                }
            }
            assertEquals(2, seen[1] / seen[0], 0.25);
            assertTrue(seen[2] > 3 * seen[1] && seen[2] < 0.9 * 25 * seen[1]);
            boolean falls = Double.isNaN(seen[3]) || seen[3] < 0.7 * seen[2];
            assertTrue(falls, seen[3] + " after " + seen[2]);
        }
        assertTrue(Files.readString(folder.resolve("strain-filter.txt")).contains("Not a medical"));
        assertTrue(ImageIO.read(folder.resolve("strain-filter.png").toFile()).getWidth() > 500);
    }

    @Test
    void whatIsNotThereIsRefused() {
        String to = folder.toString();
        assertEquals(1, Main.run("strain-filter", "--strain-estimator", "magic", "--to", to));
        assertEquals(1, Main.run("strain-filter", "--strains", "50", "--to", to));
        assertEquals(1, Main.run("strain-filter", "--lines", "3", "--to", to));
        assertEquals(0, folder.toFile().list().length);
    }
}
