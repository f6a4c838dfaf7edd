package org.elasto.compare;

import static org.elasto.compare.Commands.run;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;
import org.elasto.recordings.ResultsReader;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class PictureCommandTest {

    private static final String SMALL = ":lines=40,samples=1200,frames=3";

    @TempDir private Path folder;

    @Test
    void aPhantomGivesPicturesResultsAndTable() throws IOException {
        Commands.Outcome outcome =
                run(
                        "picture",
                        "two-stiff-inclusions",
                        "--source",
                        "phantom" + SMALL,
                        "--to",
                        folder.toString());
        assertEquals(0, outcome.status(), outcome.err());
        assertTrue(outcome.out().contains("inclusion 8.0 mm wide"), outcome.out());
        assertTrue(outcome.out().contains("Not a medical device"), outcome.out());
        assertEquals(
                List.of(
                        "measured.txt",
                        "pair-000-001.png",
                        "pair-001-002.png",
                        "recording.h5",
                        "results.h5"),
                names());
        try (ResultsReader results = new ResultsReader(folder.resolve("results.h5"))) {
            assertEquals(2, results.pairCount());
            DisplacementField field = new DisplacementField(results.header().field());
            StrainImage strain = new StrainImage(results.header().strain());
            results.read(1, field, strain);
            int known = 0;
            for (float u : field.axial()) {
                known += Float.isNaN(u) ? 0 : 1;
            }
            assertTrue(known > field.axial().length / 2, "known " + known);
        }

        // The recording that was written is a recording like any other.
        Path again = folder.resolve("again");
        Commands.Outcome second =
                run("picture", folder.resolve("recording.h5").toString(), "--to", again.toString());
        assertEquals(0, second.status(), second.err());
        assertTrue(Files.exists(again.resolve("pair-001-002.png")));
        assertTrue(second.out().contains("trusted on average"), second.out());
    }

    @Test
    void measuredNumbersAreNearTheTruth() {
        Commands.Outcome outcome =
                run("picture", "uniform", "--source", "phantom" + SMALL, "--to", folder.toString());
        assertEquals(0, outcome.status(), outcome.err());
        String pair =
                outcome.out().lines().filter(l -> l.startsWith("0 > 1")).findFirst().orElseThrow();
        double micrometres = Double.parseDouble(pair.substring(5).trim().split("\\s+")[0]);
        assertTrue(micrometres > 0.005 && micrometres < 0.5, pair);
    }

    @Test
    void errorsAreOneLineAndSayWhatToDo() throws IOException {
        Path file = Files.writeString(folder.resolve("notes.txt"), "no recording");
        assertError(1, "two-stiff-inclusions", "picture", "no-such-thing");
        assertError(1, "--source", "picture", file.toString());
        assertError(1, "coarse-to-fine-phase", "picture", "uniform", "--estimator", "best-of-all");
        assertError(
                1,
                "window-length",
                "picture",
                "uniform",
                "--estimator",
                "cross-correlation:window-length=3");
        assertError(1, "colours", "picture", "uniform", "--look", "colours=rainbow");
        assertError(2, "--no-such-option", "picture", "--no-such-option");
        assertEquals(List.of("notes.txt"), names());
    }

    private void assertError(int status, String mentions, String... arguments) {
        String[] all = new String[arguments.length + 2];
        System.arraycopy(arguments, 0, all, 0, arguments.length);
        all[arguments.length] = "--to";
        all[arguments.length + 1] = folder.resolve("out").toString();
        run(all).assertError(status, mentions);
    }

    private List<String> names() throws IOException {
        return Commands.names(folder).stream().filter(n -> !n.equals("out")).toList();
    }
}
