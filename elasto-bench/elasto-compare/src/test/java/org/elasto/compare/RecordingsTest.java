package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertAll;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.StrainEstimator;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Two whole recordings whose motion comes from a finite-element model that no code of ours took
 * part in, where they lie beside the project; a crop of one is tested with the trackers in any
 * case.
 *
 * <p>Rows from 2 mm to 43 mm, or to 1 mm above the reflector; strain over 2.4 mm, for estimate and
 * truth alike.
 */
class RecordingsTest {

    private static final double SHALLOWEST = 2e-3;

    @ParameterizedTest
    @CsvSource({
        "phantom-a, coarse-to-fine-phase, '', 0.35e-6, 0.030e-2",
        "phantom-a, cross-correlation, window-length=1.9e-3, 0.9e-6, 0.09e-2",
        "phantom-a, lattice-phase, '', 0.30e-6, 0.026e-2",
        "phantom-b, lattice-phase, '', 0.60e-6, 0.052e-2",
        "phantom-a, axial-lattice-phase, '', 0.60e-6, 0.040e-2",
        "phantom-a, dynamic-programming, '', 0.30e-6, 0.026e-2",
        "phantom-b, dynamic-programming, '', 0.60e-6, 0.052e-2",
        "phantom-b, coarse-to-fine-phase, '', 0.70e-6, 0.060e-2",
        "phantom-b, cross-correlation, window-length=1.9e-3, 1.8e-6, 0.18e-2",
    })
    void errorsStayWithinTheirLimits(
            String recording,
            String name,
            String parameters,
            double displacementLimit,
            double strainLimit)
            throws IOException {
        Path folder = folder();
        boolean reflector = recording.equals("phantom-b");
        try (Workers workers = Workers.threads(2);
                FrameSource frames =
                        Sources.open(folder.resolve(recording + ".h5").toString(), Choice.of(""));
                TrueMotion truth =
                        TrueMotion.of(folder.resolve(recording + "-truth.h5"), frames.geometry())) {
            DisplacementEstimator estimator =
                    Catalogue.create(
                            Catalogue.displacementEstimators().get(name),
                            parameters,
                            frames.geometry(),
                            workers);
            StrainEstimator strainEstimator =
                    Catalogue.create(
                            Catalogue.strainEstimators().get("least-squares-line"),
                            "window-depth=2.4e-3",
                            estimator.layout(),
                            workers);
            RfFrame first = frames.read(1);
            DisplacementField field = estimator.newField();
            StrainImage strain = strainEstimator.newImage();
            estimator.estimate(first, frames.read(2), field);
            strainEstimator.estimate(field, strain);

            RowGrid grid = field.layout().grid();
            double[] u = truth.axial(1, 2, grid);
            DisplacementField trueField = estimator.newField();
            Comparison.fill(trueField, u);
            StrainImage trueStrain = strainEstimator.newImage();
            strainEstimator.estimate(trueField, trueStrain);
            assertEquals(grid, strain.layout().grid());

            double squares = 0;
            double strainSquares = 0;
            int cells = 0;
            int strainCells = 0;
            int all = 0;
            int trustedBeyond = 0;
            int beyond = 0;
            for (int line = 0; line < field.lines(); line++) {
                double deepest = reflector ? brightest(first, line) - 1e-3 : 43e-3;
                for (int row = 0; row < grid.rows(); row++) {
                    int at = line * grid.rows() + row;
                    double depth = grid.depth(row);
                    if (depth >= SHALLOWEST && depth <= deepest) {
                        all++;
                        double error = field.axial()[at] - u[at];
                        if (!Double.isNaN(error)) {
                            squares += error * error;
                            cells++;
                        }
                        double strainError = strain.axial()[at] - trueStrain.axial()[at];
                        if (!Double.isNaN(strainError)) {
                            strainSquares += strainError * strainError;
                            strainCells++;
                        }
                    } else if (reflector && depth > deepest + 1.5e-3) {
                        beyond++;
                        trustedBeyond += strain.trusted()[at] ? 1 : 0;
                    }
                }
            }
            double displacementError = Math.sqrt(squares / cells);
            double strainError = Math.sqrt(strainSquares / strainCells);
            String seen =
                    String.format(
                            "%s %s: displacement %.3f um, strain %.4f %%, %d of %d cells, trusted"
                                    + " beyond the reflector %d of %d",
                            recording,
                            name,
                            displacementError * 1e6,
                            strainError * 100,
                            cells,
                            all,
                            trustedBeyond,
                            beyond);
            System.out.println(seen);
            int known = cells;
            int total = all;
            int claimed = trustedBeyond;
            // All that is missing lies within 3 mm above the reflector: up to 2.5 %, and half of
            // that where places before a reflector are known (lattice-phase).
            double leastKnown = reflector && !name.equals("lattice-phase") ? 0.97 : 0.98;
            assertAll(
                    () -> assertTrue(displacementError <= displacementLimit, seen),
                    () -> assertTrue(strainError <= strainLimit, seen),
                    () -> assertTrue(known > leastKnown * total, seen),
                    () -> assertEquals(0, claimed, seen));
            assertTrue(beyond > 1000 || !reflector, seen);
        }
    }

    /** Depth of the strongest sample of a line in its lower half: the reflector's. */
    private static double brightest(RfFrame frame, int line) {
        float[] samples = new float[frame.geometry().samples()];
        frame.readLine(line, samples, 0);
        int best = samples.length / 2;
        for (int n = best; n < samples.length; n++) {
            best = Math.abs(samples[n]) > Math.abs(samples[best]) ? n : best;
        }
        return frame.geometry().depthOfSample(best);
    }

    /** The recordings lie in {@code shared/recordings} beside the project, or are not there. */
    static Path folder() {
        String root = System.getProperty("elasto.root");
        Assumptions.assumeTrue(root != null, "elasto.root is not set");
        Path folder = Path.of(root).resolve("../shared/recordings").normalize();
        Assumptions.assumeTrue(Files.isDirectory(folder), folder + " is not there");
        return folder;
    }
}
