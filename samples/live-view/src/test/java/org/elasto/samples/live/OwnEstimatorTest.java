package org.elasto.samples.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import org.elasto.api.plugin.Catalogue;
import org.junit.jupiter.api.Test;

/** An estimator of one's own shows up where nobody has heard of it, by the class path alone. */
class OwnEstimatorTest {

    @Test
    void theLiveViewListsIt() {
        assertTrue(Catalogue.displacementEstimators().names().contains("phase-zero"));
    }

    @Test
    void theWorkbenchListsIt() throws Exception {
        String classPath =
                System.getProperty(
                        "surefire.test.class.path", System.getProperty("java.class.path"));
        Process process =
                new ProcessBuilder(
                                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                                "-cp",
                                classPath,
                                "org.elasto.compare.Main",
                                "plugins")
                        .redirectErrorStream(true)
                        .start();
        String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        assertEquals(0, process.waitFor(), said);
        assertTrue(said.contains("phase-zero") && said.contains("dynamic-programming"), said);
    }
}
