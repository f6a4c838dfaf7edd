package org.elasto.tracking.lattice;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.GaussianWindow;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Lines of a field from strips of blocks. */
class StripSpreadTest {

    private static final int ROWS = 5;
    private static final double JUMP = 5e-5;
    private static final GaussianWindow ACROSS = new GaussianWindow(0.8, 20);

    private DisplacementField field;
    private StripSpread spread;
    private int strips;

    /** A field whose strips have moved by a plane in depth and across, in metres. */
    private void make(int lines, int lineStep, int width) {
        ScanGeometry geometry = ScanGeometry.linear(lines, 900, 40e6, 7.5e6, 1540, 0, 3e-4, 50);
        LatticeFrame frame =
                new LatticeFrame(
                        geometry,
                        6e6,
                        4,
                        Workers.sequential(),
                        new LatticeFrame.Plan(lineStep, 4, width, 4, 10, 8));
        ErrorCorrelation none = new ErrorCorrelation(ErrorCorrelation.Shape.GAUSSIAN, 1e-3);
        RowGrid grid = new RowGrid(ROWS, 1e-3, 3e-4);
        field = new DisplacementField(new FieldLayout(geometry, grid, true, none, none));
        spread = new StripSpread(frame, lines, ROWS, ACROSS, JUMP, Workers.sequential());
        strips = frame.shape.strips;
        Arrays.fill(field.axial(), Float.NaN);
        for (int strip = 0; strip < strips; strip++) {
            double middle = frame.firstLine + lineStep * (strip * width + (width - 1) / 2.0);
            for (int row = 0; row < ROWS; row++) {
                int at = strip * ROWS + row;
                field.axial()[at] = (float) plane(middle, row);
                field.lateral()[at] = (float) (2 * plane(middle, row));
                field.axialDeviation()[at] = 1e-6f;
                field.lateralDeviation()[at] = 1e-5f;
                field.correlation()[at] = 0.9f;
            }
        }
    }

    private static double plane(double line, int row) {
        return 1e-5 + 1e-6 * line + 3e-6 * row;
    }

    /** Numbers of lines that do and do not end with one that is tracked. */
    @ParameterizedTest
    @CsvSource({
        "2, 1, 33",
        "2, 1, 32",
        "3, 1, 34",
        "4, 1, 32",
        "4, 1, 33",
        "1, 2, 32",
        "1, 2, 33",
        "1, 2, 3",
        "1, 1, 7",
    })
    void aPlaneStaysOne(int lineStep, int width, int lines) {
        make(lines, lineStep, width);
        spread.spread(field);
        for (int line = 0; line < lines; line++) {
            for (int row = 0; row < ROWS; row++) {
                int at = line * ROWS + row;
                assertEquals(plane(line, row), field.axial()[at], 1e-10, "line " + line);
                assertEquals(2 * plane(line, row), field.lateral()[at], 1e-10, "line " + line);
                assertEquals(0.9, field.correlation()[at], 1e-6, "line " + line);
                float deviation = field.axialDeviation()[at];
                assertTrue(deviation > 0.7e-6 && deviation <= 1e-6f, "deviation " + deviation);
                assertEquals(10 * deviation, field.lateralDeviation()[at], 1e-10, "line " + line);
            }
        }
    }

    @ParameterizedTest
    @CsvSource({"2, 1, 1", "1, 2, 2", "4, 1, 3"})
    void fewLines(int lineStep, int width, int lines) {
        make(lines, lineStep, width);
        assertEquals(1, strips);
        float[] strip = Arrays.copyOf(field.axial(), ROWS);
        spread.spread(field);
        for (int line = 0; line < lines; line++) {
            int at = line * ROWS;
            assertEquals(
                    Arrays.toString(strip),
                    Arrays.toString(Arrays.copyOfRange(field.axial(), at, at + ROWS)));
        }
    }

    /** Lines 8 and 9 are strip 4, which is unknown; nobody else is. */
    @Test
    void linesOfAKnownStripAreKnown() {
        make(32, 1, 2);
        field.markUnknown(4 * ROWS + 2);
        spread.spread(field);
        for (int line = 0; line < 32; line++) {
            int at = line * ROWS + 2;
            assertEquals(line / 2 == 4, Float.isNaN(field.axial()[at]), "line " + line);
            assertEquals(line / 2 == 4, field.correlation()[at] == 0, "line " + line);
            assertTrue(!Float.isNaN(field.axial()[at - 1]), "row above, line " + line);
        }
        // Beside it the own strip counts alone.
        assertEquals(plane(6.5, 2), field.axial()[7 * ROWS + 2], 1e-10);
        assertEquals(1e-6f, field.axialDeviation()[10 * ROWS + 2], 1e-7);
    }

    /** Line 9 is tracked and unknown: so is all between it and lines 5 and 13. */
    @Test
    void betweenTrackedLinesBothMustBeKnown() {
        make(32, 4, 1);
        field.markUnknown(2 * ROWS + 2);
        spread.spread(field);
        for (int line = 0; line < 32; line++) {
            boolean unknown = line > 5 && line < 13;
            assertEquals(unknown, Float.isNaN(field.axial()[line * ROWS + 2]), "line " + line);
            assertEquals(unknown, field.correlation()[line * ROWS + 2] == 0, "line " + line);
        }
    }

    /** A slip along the lines stays as sharp as the strips are. */
    @ParameterizedTest
    @CsvSource({"1, 2", "4, 1"})
    void jumpsAreNotInterpolated(int lineStep, int width) {
        make(32, lineStep, width);
        float far = (float) (20 * JUMP);
        for (int i = strips / 2 * ROWS; i < strips * ROWS; i++) {
            field.axial()[i] += far;
        }
        spread.spread(field);
        for (int line = 0; line < 32; line++) {
            for (int row = 0; row < ROWS; row++) {
                double moved = field.axial()[line * ROWS + row] - plane(line, row);
                double off = Math.min(Math.abs(moved), Math.abs(moved - far));
                assertTrue(off < 2.5e-6, "line " + line + " is off by " + off);
            }
        }
    }

    /** Independent noise that the window has averaged twice, Monte Carlo, is not above the told. */
    @Test
    void noiseIsNoMoreThanTold() {
        Random random = new Random(3);
        double squares = 0;
        double told = 0;
        for (int trial = 0; trial < 300; trial++) {
            make(64, 1, 2);
            for (int row = 0; row < ROWS; row++) {
                double[] noise = averagedTwice(random);
                for (int strip = 0; strip < strips; strip++) {
                    field.axial()[strip * ROWS + row] = (float) (1e-6 * noise[strip]);
                }
            }
            spread.spread(field);
            for (int i = 20 * ROWS; i < 44 * ROWS; i++) {
                squares += Math.pow(field.axial()[i], 2);
                told += Math.pow(field.axialDeviation()[i], 2);
            }
        }
        double ratio = Math.sqrt(squares / told);
        assertTrue(ratio > 0.85 && ratio < 1.01, "noise over told " + ratio);
    }

    /** Unit noise of 32 strips after {@code 2 w - w * w}, on a circle. */
    private static double[] averagedTwice(Random random) {
        double[] noise = new double[32];
        Arrays.setAll(noise, i -> random.nextGaussian());
        double[] once = averaged(noise);
        double[] twice = averaged(once);
        double[] result = new double[32];
        Arrays.setAll(result, i -> 2 * once[i] - twice[i]);
        double power = 0;
        double[] impulse = new double[32];
        impulse[0] = 1;
        double[] first = averaged(impulse);
        double[] second = averaged(first);
        for (int i = 0; i < 32; i++) {
            power += Math.pow(2 * first[i] - second[i], 2);
        }
        double scale = 1 / Math.sqrt(power);
        Arrays.setAll(result, i -> scale * result[i]);
        return result;
    }

    private static double[] averaged(double[] x) {
        double[] result = new double[x.length];
        for (int i = 0; i < x.length; i++) {
            for (int j = -ACROSS.halfWidth(); j <= ACROSS.halfWidth(); j++) {
                result[i] += ACROSS.tap(j) * x[Math.floorMod(i + j, x.length)];
            }
        }
        return result;
    }
}
