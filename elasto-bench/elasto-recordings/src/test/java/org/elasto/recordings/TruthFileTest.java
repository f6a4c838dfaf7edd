package org.elasto.recordings;

import static org.elasto.recordings.TestFiles.assertFails;
import static org.elasto.recordings.TestFiles.recording;
import static org.elasto.recordings.TestFiles.small;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import io.jhdf.HdfFile;
import io.jhdf.WritableHdfFile;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.function.DoubleBinaryOperator;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class TruthFileTest {

    private static final int LINES = 21;
    private static final int DEPTHS = 31;

    @TempDir Path folder;

    private static double x(int line) {
        return (line - (LINES - 1) / 2.0) * 1e-3;
    }

    private static double z(int depth) {
        return 1e-3 + depth * 5e-4;
    }

    /** A truth file of two pairs; in the second all motion is doubled. */
    private Path write(DoubleBinaryOperator axial, DoubleBinaryOperator lateral) {
        Path file = folder.resolve("truth.h5");
        double[][][] down = new double[2][LINES][DEPTHS];
        double[][][] across = new double[2][LINES][DEPTHS];
        double[] positions = new double[LINES];
        double[] depths = new double[DEPTHS];
        for (int l = 0; l < LINES; l++) {
            positions[l] = x(l);
            for (int d = 0; d < DEPTHS; d++) {
                depths[d] = z(d);
                for (int pair = 0; pair < 2; pair++) {
                    down[pair][l][d] = (pair + 1) * axial.applyAsDouble(x(l), z(d));
                    across[pair][l][d] = (pair + 1) * lateral.applyAsDouble(x(l), z(d));
                }
            }
        }
        try (WritableHdfFile hdf = HdfFile.write(file)) {
            hdf.putDataset("axial_displacement_m", down);
            hdf.putDataset("lateral_displacement_m", across);
            hdf.putDataset("depth_m", depths);
            hdf.putDataset("lateral_m", positions);
            hdf.putDataset(
                    "inclusions_x_z_radius_stiffness", new double[][] {{1e-3, 8e-3, 2e-3, 3}});
        }
        return file;
    }

    /** Cubic convolution reproduces polynomials up to the second degree (Keys 1981). */
    @Test
    void quadraticMotionIsInterpolatedExactlyAwayFromTheEdges() throws IOException {
        DoubleBinaryOperator axial = (x, z) -> 1e-5 - 3e-3 * z + 0.2 * z * x + 0.5 * z * z;
        DoubleBinaryOperator lateral = (x, z) -> 2e-3 * x - 0.3 * x * x;
        ScanGeometry geometry = ScanGeometry.linear(41, 100, 4e7, 5e6, 1540, 0, 4.3e-4, 50);
        RowGrid grid = new RowGrid(40, 1.6e-3, 3.37e-4);
        // Values are read as floats; the weights of a place add up to at most 1.25 on each axis.
        double rounding = 1.25 * 1.25 * 2.2e-4 * 0x1p-24;
        int compared = 0;
        try (TruthFile truth = new TruthFile(write(axial, lateral))) {
            double[] down = truth.axial(1, geometry, grid);
            double[] across = truth.lateral(1, geometry, grid);
            for (int line = 0; line < 41; line++) {
                for (int row = 0; row < 40; row++) {
                    double x = geometry.x(line, 0);
                    double z = grid.depth(row);
                    if (Math.abs(x) < 9e-3 && z > 1.5e-3 && z < 15.5e-3) {
                        int i = line * 40 + row;
                        assertEquals(2 * axial.applyAsDouble(x, z), down[i], rounding);
                        assertEquals(2 * lateral.applyAsDouble(x, z), across[i], rounding);
                        compared++;
                    }
                }
            }
        }
        assertEquals(41 * 40, compared);
    }

    @Test
    void outsideAndUnknownIsNaN() throws IOException {
        DoubleBinaryOperator motion = (x, z) -> z > 10.1e-3 ? Double.NaN : z;
        ScanGeometry geometry = ScanGeometry.linear(23, 100, 4e7, 5e6, 1540, 0, 1e-3, 50);
        RowGrid grid = new RowGrid(20, 0, 1e-3);
        try (TruthFile truth = new TruthFile(write(motion, motion))) {
            double[] down = truth.axial(0, geometry, grid);
            for (int line = 0; line < 23; line++) {
                for (int row = 0; row < 20; row++) {
                    double value = down[line * 20 + row];
                    boolean known = line > 0 && line < 22 && row >= 1 && row <= 10;
                    assertEquals(!known, Double.isNaN(value), line + " " + row + " " + value);
                    if (known) {
                        assertEquals(row * 1e-3, value, 1e-9);
                    }
                }
            }
        }
    }

    /** Along a slanted line, motion is the projection of the vector onto the line. */
    @Test
    void convexLinesGetTheProjection() throws IOException {
        ScanGeometry geometry = ScanGeometry.convex(9, 100, 4e7, 5e6, 1540, 0, 0.03, 0.02, 50);
        RowGrid grid = new RowGrid(10, 2e-3, 1e-3);
        try (TruthFile truth = new TruthFile(write((x, z) -> -3e-5, (x, z) -> 1e-5))) {
            double[] down = truth.axial(0, geometry, grid);
            double[] across = truth.lateral(0, geometry, grid);
            for (int line = 0; line < 9; line++) {
                double angle = (line - 4) * 0.02;
                for (int row = 0; row < 10; row++) {
                    assertEquals(
                            -3e-5 * Math.cos(angle) + 1e-5 * Math.sin(angle),
                            down[line * 10 + row],
                            1e-11);
                    assertEquals(
                            1e-5 * Math.cos(angle) + 3e-5 * Math.sin(angle),
                            across[line * 10 + row],
                            1e-11);
                }
            }
        }
    }

    @Test
    void inclusionsAndAxes() throws IOException {
        try (TruthFile truth = new TruthFile(write((x, z) -> 0, (x, z) -> 0))) {
            assertEquals(2, truth.pairCount());
            assertEquals(List.of(new TruthFile.Inclusion(1e-3, 8e-3, 2e-3, 3)), truth.inclusions());
            assertEquals(DEPTHS, truth.depths().length);
            assertEquals(LINES, truth.lateralPositions().length);
            assertThrows(IndexOutOfBoundsException.class, () -> truth.axial(2));
        }
    }

    @Test
    void otherFilesAreRefused() {
        assertFails(
                IOException.class,
                () -> new TruthFile(small("contiguous.h5")).close(),
                small("contiguous.h5"),
                "/axial_displacement_m");
    }

    @Test
    void theTruthOfTheRecording() throws IOException {
        try (TruthFile truth = new TruthFile(recording("phantom-a-truth.h5"))) {
            assertEquals(7, truth.pairCount());
            assertEquals(
                    List.of(
                            new TruthFile.Inclusion(-4e-3, 20e-3, 4e-3, 3),
                            new TruthFile.Inclusion(9e-3, 30e-3, 2.5e-3, 4)),
                    truth.inclusions());
            float[][][] whole;
            try (HdfFile hdf = new HdfFile(recording("phantom-a-truth.h5"))) {
                whole = (float[][][]) hdf.getDatasetByPath("axial_displacement_m").getData();
            }
            ScanGeometry geometry = ScanGeometry.linear(128, 2337, 4e7, 7.5e6, 1540, 0, 3e-4, 50);
            RowGrid grid = new RowGrid(220, truth.depths()[0], 2e-4);
            int compared = 0;
            for (int pair = 0; pair < 7; pair++) {
                double[] down = truth.axial(pair, geometry, grid);
                for (int line = 0; line < 128; line++) {
                    for (int row = 0; row < 220; row++, compared++) {
                        assertEquals(whole[pair][line][row], down[line * 220 + row], 1e-15);
                    }
                }
            }
            assertEquals(7 * 128 * 220, compared);
            // Pressed between frames 1 and 2: negative, and growing in size with depth.
            double[] down = truth.axial(1, geometry, grid);
            assertTrue(down[64 * 220 + 20] < 0);
            assertTrue(down[64 * 220 + 200] < down[64 * 220 + 20]);
        }
    }
}
