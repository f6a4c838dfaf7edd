package org.elasto.strain.adaptive;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.strain.leastsquares.LeastSquaresLineConfig;
import org.elasto.strain.leastsquares.LeastSquaresLineProvider;
import org.elasto.strain.shared.Draws;
import org.elasto.strain.shared.Fields;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class AdaptiveWindowTest {

    private static final double SPACING = 0.1e-3;
    private static final double PRECISION = 2e-4;
    private static final int ROWS = 160;

    private static AdaptiveWindowConfig config(double typical) {
        // 11 to 61 rows.
        return new AdaptiveWindowConfig(1e-3, 6e-3, PRECISION, typical, 0.75, 0.6, 1, 2.4e-3);
    }

    private static StrainImage estimate(DisplacementField field) {
        return Fields.estimate(new AdaptiveWindowProvider(), config(0.5e-6), field);
    }

    private static StrainImage line(int rows, DisplacementField field) {
        return Fields.estimate(
                new LeastSquaresLineProvider(),
                new LeastSquaresLineConfig((rows - 1) * SPACING, 0.75, 0.6, 1, 2.4e-3, 0),
                field);
    }

    private static DisplacementField noisy(int lines, double deviation) {
        FieldLayout layout = Fields.layout(lines, ROWS, SPACING, ErrorCorrelation.INDEPENDENT);
        DisplacementField field = Fields.known(layout);
        Arrays.fill(field.axialDeviation(), (float) deviation);
        Draws.addErrors(field, 5);
        return field;
    }

    /** Kallel & Ophir, Ultrasonic Imaging 19:195-208, 1997: 12 s² / (D² N (N² - 1)). */
    private static double published(int n, double s) {
        return Math.sqrt(12 * s * s / (SPACING * SPACING * n * (n * (double) n - 1)));
    }

    /** To a millionth of the noise: the line adds up in float, the adaptive window in double. */
    private static void assertSame(float expected, float seen) {
        assertEquals(expected, seen, Math.max(Math.ulp(expected), 1e-6 * PRECISION));
    }

    @Test
    void shortestWindowWhereThatIsPreciseEnough() {
        DisplacementField field = noisy(2, 0.15e-6);
        assertTrue(published(11, 0.15e-6) < PRECISION);
        StrainImage own = estimate(field);
        StrainImage line = line(11, field);
        for (int r = 20; r < ROWS - 20; r++) {
            assertSame(line.axial()[r], own.axial()[r]);
            assertSame(line.axialDeviation()[r], own.axialDeviation()[r]);
        }
    }

    @Test
    void longestWindowWhereNothingIsPreciseEnough() {
        DisplacementField field = noisy(2, 5e-6);
        assertTrue(published(61, 5e-6) > PRECISION);
        StrainImage own = estimate(field);
        StrainImage line = line(61, field);
        for (int r = 40; r < ROWS - 40; r++) {
            assertSame(line.axial()[r], own.axial()[r]);
            assertEquals(published(61, 5e-6), own.axialDeviation()[r], 1e-5 * published(61, 5e-6));
        }
    }

    /**
     * In between, the deviation is the wanted one, and strain lies between those of two windows.
     */
    @ParameterizedTest
    @CsvSource({"0.3e-6", "0.5e-6", "1e-6", "2e-6"})
    void meetsThePrecisionInBetween(double deviation) {
        int lines = 500;
        DisplacementField field = noisy(lines, deviation);
        StrainImage own = estimate(field);
        int below = 11;
        while (published(below + 2, deviation) > PRECISION) {
            below += 2;
        }
        // The two windows of the ladder lie around the one that theory would take.
        assertTrue(published(61, deviation) < PRECISION && below >= 11);
        double squares = 0;
        for (int line = 0; line < lines; line++) {
            int i = line * ROWS + ROWS / 2;
            assertEquals(PRECISION, own.axialDeviation()[i], 1e-9);
            squares += Math.pow(own.axial()[i], 2) / lines;
        }
        // An upper bound, since errors of nested windows are not quite alike; never far below it.
        double seen = Math.sqrt(squares) / PRECISION;
        assertTrue(seen > 0.85 && seen < 1 + 4 / Math.sqrt(2.0 * lines), "seen " + seen);
    }

    @Test
    void followsTheDeviationAlongTheLine() {
        DisplacementField field = noisy(1, 0.15e-6);
        for (int r = ROWS / 2; r < ROWS; r++) {
            field.axialDeviation()[r] = 1e-6f;
        }
        StrainImage own = estimate(field);
        StrainImage shortest = line(11, field);
        assertSame(shortest.axial()[40], own.axial()[40]);
        assertTrue(shortest.axialDeviation()[120] > 4 * PRECISION);
        assertEquals(PRECISION, own.axialDeviation()[120], 1e-9);
    }

    /** Near the unknown a longer window is no longer known; the shorter one stands, and says so. */
    @Test
    void shorterWindowsReachCloserToTheUnknown() {
        DisplacementField field = noisy(1, 2e-6);
        StrainImage own = estimate(field);
        StrainImage shortest = line(11, field);
        assertSame(shortest.axial()[3], own.axial()[3]);
        assertTrue(own.axialDeviation()[3] > 5 * PRECISION);
        assertTrue(Float.isNaN(own.axial()[2]));
    }

    @Test
    void statesTheResolutionOfTheTypicalDeviation() {
        FieldLayout layout = Fields.layout(1, ROWS, SPACING, ErrorCorrelation.INDEPENDENT);
        AdaptiveWindowProvider provider = new AdaptiveWindowProvider();
        double before = 0;
        for (double typical : new double[] {0.1e-6, 0.3e-6, 1e-6, 2e-6, 10e-6}) {
            double resolution =
                    Fields.create(provider, config(typical), layout).layout().resolution();
            assertTrue(resolution > before, typical + ": " + resolution);
            before = resolution;
        }
        // That of the longest window, as the least-squares line has it.
        LeastSquaresLineConfig longest = new LeastSquaresLineConfig(6e-3, 0.75, 0.6, 1, 2.4e-3, 0);
        assertEquals(
                Fields.create(new LeastSquaresLineProvider(), longest, layout)
                        .layout()
                        .resolution(),
                before,
                1e-9);
    }

    @Test
    void shortestWindowIsNotLongerThanTheLongest() {
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () ->
                                        new AdaptiveWindowConfig(
                                                3e-3, 2e-3, 1e-4, 1e-6, 0.75, 0.6, 1, 2e-3))
                        .getMessage();
        assertTrue(message.contains("0.003") && message.contains("0.002"), message);
    }
}
