package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;
import org.elasto.recordings.ResultsReader;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Results as Python sees them: h5py and NumPy are the judges. */
class PythonTest {

    @TempDir private Path folder;

    @Test
    void resultsOpenInPythonWithTheirDocumentedNames() throws IOException, InterruptedException {
        Path python = OutsideTools.python();
        Commands.Outcome picture =
                Commands.run(
                        "picture",
                        "two-stiff-inclusions",
                        "--source",
                        ":lines=20,samples=900,frames=3",
                        "--to",
                        folder.toString());
        assertEquals(0, picture.status(), picture.err());
        Path results = folder.resolve("results.h5");
        Path planes = folder.resolve("planes");
        Commands.Outcome export =
                Commands.run("export", results.toString(), "--to", planes.toString());
        assertEquals(0, export.status(), export.err());

        double sum = 0;
        int known = 0;
        try (ResultsReader reader = new ResultsReader(results)) {
            DisplacementField field = new DisplacementField(reader.header().field());
            StrainImage strain = new StrainImage(reader.header().strain());
            for (int pair = 0; pair < reader.pairCount(); pair++) {
                reader.read(pair, field, strain);
                for (float value : strain.axial()) {
                    sum += Float.isNaN(value) ? 0 : value;
                    known += Float.isNaN(value) ? 0 : 1;
                }
            }
        }
        Path script = Path.of(resource("check_results.py"));
        Commands.Outcome outcome =
                OutsideTools.run(
                        List.of(
                                python.toString(),
                                script.toString(),
                                results.toString(),
                                planes.toString()));
        assertEquals(0, outcome.status(), outcome.err());
        String[] words = outcome.out().trim().split(" ");
        assertEquals("compared", words[0], outcome.out());
        assertTrue(Integer.parseInt(words[1]) > 40, outcome.out());
        assertEquals(known, Integer.parseInt(words[2]));
        assertEquals(sum, Double.parseDouble(words[3]), 1e-9 * Math.abs(sum));
    }

    private static String resource(String name) {
        try {
            return Path.of(PythonTest.class.getResource(name).toURI()).toString();
        } catch (java.net.URISyntaxException e) {
            throw new IllegalStateException(e);
        }
    }
}
