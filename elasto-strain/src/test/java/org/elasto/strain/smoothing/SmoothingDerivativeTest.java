package org.elasto.strain.smoothing;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.apache.commons.math3.fitting.PolynomialCurveFitter;
import org.apache.commons.math3.fitting.WeightedObservedPoints;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.strain.shared.Fields;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SmoothingDerivativeTest {

    private static final double SPACING = 0.1e-3;
    private static final SmoothingDerivativeProvider PROVIDER = new SmoothingDerivativeProvider();

    private static SmoothingDerivativeConfig config(int rows, int order, double across) {
        return new SmoothingDerivativeConfig(
                (rows - 1) * SPACING, order, across, 2, 0.75, 0.6, 1, 2.4e-3);
    }

    private static FieldLayout layout(int lines, int rows) {
        return Fields.layout(lines, rows, SPACING, ErrorCorrelation.INDEPENDENT);
    }

    /** Savitzky & Golay, Anal Chem 36(8):1627-1639, 1964: tables of first derivatives. */
    @ParameterizedTest
    @CsvSource({
        "1, 10, -2 -1 0 1 2",
        "2, 28, -3 -2 -1 0 1 2 3",
        "2, 60, -4 -3 -2 -1 0 1 2 3 4",
        "3, 12, 1 -8 0 8 -1",
        "4, 252, 22 -67 -58 0 58 67 -22"
    })
    void hasPublishedWeightsInDepth(int order, double divisor, String table) {
        double[] published =
                Arrays.stream(table.split(" ")).mapToDouble(Double::parseDouble).toArray();
        DisplacementField field = Fields.known(layout(1, 41));
        field.axial()[20] = 1e-6f;
        StrainImage image = Fields.estimate(PROVIDER, config(published.length, order, 0), field);
        for (int r = 10; r <= 30; r++) {
            int k = 20 - r + published.length / 2;
            double weight = k >= 0 && k < published.length ? published[k] / divisor : 0;
            assertEquals(weight, image.axial()[r] * SPACING / 1e-6f, 1e-6);
        }
    }

    /** The same source, smoothing across five lines: (-3 12 17 12 -3) / 35. */
    @Test
    void hasPublishedWeightsAcross() {
        DisplacementField field = Fields.known(layout(11, 41));
        for (int r = 0; r < 41; r++) {
            field.axial()[5 * 41 + r] = (float) (1e-3 * r * SPACING);
        }
        StrainImage image = Fields.estimate(PROVIDER, config(9, 2, 4 * Fields.PITCH), field);
        double[] published = {-3, 12, 17, 12, -3};
        for (int line = 2; line < 9; line++) {
            int k = line - 5 + 2;
            double weight = k >= 0 && k < 5 ? published[k] / 35 : 0;
            assertEquals(1e-3 * weight, image.axial()[line * 41 + 20], 1e-8);
        }
        // 17/35 of the variance is left: the same table, read as the sum of its squares.
        double single = deviation(config(9, 2, 0));
        assertEquals(Math.sqrt(17 / 35.0) * single, image.axialDeviation()[5 * 41 + 20], 1e-6);
    }

    private static double deviation(SmoothingDerivativeConfig config) {
        return Fields.estimate(PROVIDER, config, Fields.known(layout(11, 41)))
                .axialDeviation()[5 * 41 + 20];
    }

    /** Kallel & Ophir, Ultrasonic Imaging 19:195-208, 1997: 12 s² / (D² N (N² - 1)). */
    @ParameterizedTest
    @CsvSource({"5", "9", "17"})
    void predictsPublishedVariance(int n) {
        double published = Math.sqrt(12e-12 / (SPACING * SPACING * n * (n * n - 1.0)));
        assertEquals(published, deviation(config(n, 2, 0)), 1e-5 * published);
    }

    /** Where rows are missing: Commons Math's polynomial fit to the known rows. */
    @Property(tries = 25, seed = "2")
    void missingRowsAreFittedWithout(
            @ForAll @IntRange(min = 1, max = 4) int order, @ForAll long seed) {
        int n = 13;
        FieldLayout layout = layout(1, 60);
        DisplacementField field = Fields.random(layout, 0.08, seed);
        StrainImage image = Fields.estimate(PROVIDER, config(n, order, 0), field);
        int compared = 0;
        for (int r = 0; r < 60; r++) {
            WeightedObservedPoints points = new WeightedObservedPoints();
            for (int k = Math.max(0, r - 6); k <= Math.min(59, r + 6); k++) {
                float s = field.axialDeviation()[k];
                if (field.correlation()[k] > 0
                        && Float.isFinite(field.axial()[k])
                        && s >= 0
                        && s <= 1e-4f) {
                    points.add((k - r) / 6.0, field.axial()[k] / 1e-4);
                }
            }
            if (points.toList().size() < 10) {
                assertTrue(Float.isNaN(image.axial()[r]));
                continue;
            }
            double[] fit = PolynomialCurveFitter.create(order).fit(points.toList());
            assertEquals(fit[1] * 1e-4 / (6 * SPACING), image.axial()[r], 1e-5);
            compared++;
        }
        assertTrue(compared > 20, compared + " rows");
    }

    /**
     * Unknown places stay unknown to their neighbours: four lines are fitted, or three at the side.
     */
    @Test
    void unknownLinesAreLeftOut() {
        FieldLayout layout = layout(11, 41);
        DisplacementField field = Fields.known(layout);
        Random random = new Random(4);
        for (int line = 0; line < 11; line++) {
            double strain = 1e-3 * (1 + 0.2 * line - 0.03 * line * line);
            for (int r = 0; r < 41; r++) {
                int i = line * 41 + r;
                field.axial()[i] = (float) (strain * r * SPACING);
                if (random.nextDouble() < 0.05) {
                    field.markUnknown(i);
                }
            }
        }
        StrainImage image = Fields.estimate(PROVIDER, config(9, 2, 4 * Fields.PITCH), field);
        int known = 0;
        for (int line = 0; line < 11; line++) {
            double strain = 1e-3 * (1 + 0.2 * line - 0.03 * line * line);
            for (int r = 6; r < 35; r++) {
                if (!Float.isNaN(image.axial()[line * 41 + r])) {
                    // A parabola across the lines is what the polynomial holds.
                    assertEquals(strain, image.axial()[line * 41 + r], 1e-8);
                    known++;
                }
            }
        }
        assertTrue(known > 250, known + " places");
    }

    @Test
    void orderMustFitTheWindow() {
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () ->
                                        PROVIDER.create(
                                                config(5, 4, 0),
                                                layout(1, 41),
                                                Workers.sequential()))
                        .getMessage();
        assertTrue(message.contains("order is 4") && message.contains("at most 3"), message);
    }

    /** The lines of a convex probe spread: fewer of them in a window further down. */
    @Test
    void convexLinesAreSmoothedAsWell() {
        FieldLayout layout =
                new FieldLayout(
                        Fields.convex(20),
                        new RowGrid(60, 1e-3, 0.5e-3),
                        false,
                        ErrorCorrelation.INDEPENDENT);
        SmoothingDerivativeConfig config =
                new SmoothingDerivativeConfig(4e-3, 2, 1.9e-3, 2, 0.75, 0.6, 1, 2.4e-3);
        StrainImage image = Fields.estimate(PROVIDER, config, Fields.known(layout));
        // 0.5 mm and 0.73 mm apart: five lines near the probe, and three, all of it, further down.
        double near = image.axialDeviation()[10 * 60 + 6];
        double far = image.axialDeviation()[10 * 60 + 53];
        assertEquals(Math.sqrt(17 / 35.0), near / far, 1e-5);
    }
}
