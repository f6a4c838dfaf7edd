package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.elasto.api.RowGrid;
import org.elasto.api.Workers;
import org.elasto.api.plugin.FrameSource;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The comparison that the README walks through. */
class SampleComparisonTest {

    @TempDir private Path folder;

    private static Path sample() {
        String root = System.getProperty("elasto.root");
        Assumptions.assumeTrue(root != null, "the system property elasto.root is not set");
        return Path.of(root).resolve("samples/comparison/three-trackers.toml");
    }

    @Test
    void everySourceOpensAndIsKnown() throws IOException {
        ComparisonFile plan = ComparisonFile.read(sample());
        assertEquals(3, plan.estimators().size());
        assertEquals(11, plan.sources().size());
        for (PlannedSource source : plan.sources()) {
            assertOpens(source);
        }
    }

    /** Where the recordings do not lie beside the checkout, the crop stands in for them. */
    @Test
    void theCropStandsIn() throws IOException {
        Path elsewhere = folder.resolve("samples/comparison");
        Files.createDirectories(elsewhere);
        Path file = Files.copy(sample(), elsewhere.resolve("c.toml"));
        PlannedSource crop = ComparisonFile.read(file).sources().get(0);
        assertEquals("phantom-a, a crop", crop.label());
        Path base = sample().getParent();
        assertOpens(
                new PlannedSource(
                        crop.label(),
                        base.resolve(elsewhere.relativize(Path.of(crop.location()))).toString(),
                        crop.kind(),
                        crop.parameters(),
                        base.resolve(elsewhere.relativize(crop.truth())),
                        true));
    }

    private static void assertOpens(PlannedSource source) throws IOException {
        try (Workers workers = Workers.sequential();
                FrameSource frames = source.open(workers);
                TrueMotion motion = source.motion(frames)) {
            assertTrue(frames.frameCount() >= 2, source.label());
            double[] u = motion.axial(0, 1, new RowGrid(20, 5e-3, 1e-3));
            assertEquals(20 * frames.geometry().lines(), u.length);
            assertTrue(Math.abs(u[10]) > 1e-6 && Math.abs(u[10]) < 1e-3, "motion " + u[10]);
        }
    }
}
