package org.elasto.strain.leastsquares;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.Arrays;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.strain.shared.Fields;
import org.elasto.strain.shared.PlainLine;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What the contract of strain estimators promises. */
class LeastSquaresLineContractTest {

    private static final double SPACING = 0.1e-3;
    private static final ErrorCorrelation ERRORS =
            new ErrorCorrelation(ErrorCorrelation.Shape.TRIANGULAR, 1e-3);
    private static final LeastSquaresLineConfig DEFAULTS = LeastSquaresLineConfig.DEFAULTS;

    @Test
    void isFoundByNameAndPreferred() {
        var provider = Catalogue.strainEstimators().get("least-squares-line");
        assertEquals(LeastSquaresLineProvider.class, provider.getClass());
        FieldLayout layout = Fields.layout(2, 60, SPACING, ERRORS);
        StrainEstimator estimator =
                Catalogue.create(provider, "window-depth=1e-3", layout, Workers.sequential());
        assertEquals(layout.grid(), estimator.layout().grid());
        assertTrue(estimator.layout().resolution() < 1e-3);
    }

    @Property(tries = 20, seed = "6")
    void givesBackEvenStrain(@ForAll @DoubleRange(min = -20, max = 20) double perThousand) {
        double strain = perThousand / 1000;
        FieldLayout layout = Fields.layout(3, 100, SPACING, ERRORS);
        DisplacementField field = Fields.known(layout);
        for (int i = 0; i < layout.planeSize(); i++) {
            field.axial()[i] = (float) (strain * layout.grid().depth(i % 100) - 1e-4);
        }
        StrainImage image = Lines.estimate(DEFAULTS, field);
        for (int line = 0; line < 3; line++) {
            // A quarter of the 25 rows may lie beyond the field: 6.
            for (int r = 6; r < 94; r++) {
                assertEquals(strain, image.axial()[line * 100 + r], 2e-7);
                assertTrue(image.trusted()[line * 100 + r]);
            }
            for (int r : new int[] {0, 5, 94, 99}) {
                assertTrue(Float.isNaN(image.axial()[line * 100 + r]));
                assertTrue(Float.isNaN(image.axialDeviation()[line * 100 + r]));
                assertFalse(image.trusted()[line * 100 + r]);
            }
        }
    }

    @Test
    void noMotionIsExactlyNoStrain() {
        StrainImage image = Lines.estimate(DEFAULTS, Fields.known(lateralLayout(20)));
        assertEquals(0f, image.axial()[10 * 60 + 30]);
        assertEquals(0f, image.lateral()[10 * 60 + 30]);
        assertEquals(0f, image.shear()[10 * 60 + 30]);
    }

    @Test
    void oneLineIsEnough() {
        FieldLayout layout =
                new FieldLayout(Fields.linear(1), new RowGrid(60, 0, SPACING), true, ERRORS);
        StrainImage image = Lines.estimate(DEFAULTS, Fields.known(layout));
        assertEquals(0f, image.axial()[30]);
        assertTrue(Float.isNaN(image.lateral()[30]));
        assertTrue(Float.isNaN(image.shear()[30]));
    }

    @Test
    void fieldOfUnknownsGivesUnknowns() {
        StrainImage image = Lines.estimate(DEFAULTS, new DisplacementField(lateralLayout(4)));
        for (int i = 0; i < image.axial().length; i++) {
            assertTrue(Float.isNaN(image.axial()[i]) && Float.isNaN(image.axialDeviation()[i]));
            assertTrue(Float.isNaN(image.lateral()[i]) && Float.isNaN(image.shear()[i]));
            assertFalse(image.trusted()[i]);
        }
    }

    @Test
    void unknownRowsLeaveTheRestAsItWas() {
        FieldLayout layout = Fields.layout(1, 300, SPACING, ERRORS);
        DisplacementField field = Fields.random(layout, 0, 7);
        StrainImage before = Lines.estimate(DEFAULTS, field);
        field.axial()[150] = Float.NaN;
        field.correlation()[151] = 0;
        field.axialDeviation()[152] = Float.POSITIVE_INFINITY;
        StrainImage after = Lines.estimate(DEFAULTS, field);
        for (int r = 6; r < 294; r++) {
            boolean near = Math.abs(r - 151) <= 13;
            double size = Math.abs(before.axial()[r]) + 1e-3;
            assertTrue(near || Math.abs(before.axial()[r] - after.axial()[r]) < 1e-5 * size);
            // Three of 25 rows may be missing: known still.
            assertFalse(Float.isNaN(after.axial()[r]));
        }
        assertFalse(after.trusted()[151]);
    }

    @Test
    void trustEndsBeforeUnknownRegion() {
        FieldLayout layout = Fields.layout(1, 200, SPACING, ERRORS);
        DisplacementField field = Fields.known(layout);
        Arrays.fill(field.correlation(), 100, 200, 0f);
        StrainImage image = Lines.estimate(DEFAULTS, field);
        // Windows of 25 rows, of which 19 must be known: the last with 6 unknown ones is at 93.
        assertTrue(image.trusted()[93]);
        for (int r = 94; r < 200; r++) {
            assertFalse(image.trusted()[r]);
            assertTrue(Float.isNaN(image.axial()[r]));
        }
    }

    /** Windows of 25 rows bridge 3 unknown rows, not 4, and none beside a poor match. */
    @Test
    void shortGapsAreBridged() {
        FieldLayout layout = Fields.layout(4, 200, SPACING, ERRORS);
        DisplacementField field = Fields.known(layout);
        field.markUnknown(100);
        for (int r = 100; r < 103; r++) {
            field.markUnknown(200 + r);
        }
        for (int r = 100; r < 104; r++) {
            field.markUnknown(400 + r);
        }
        field.markUnknown(700);
        field.correlation()[701] = 0.5f;
        StrainImage image = Lines.estimate(DEFAULTS, field);
        assertTrue(image.trusted()[100]);
        for (int r = 90; r < 110; r++) {
            assertTrue(image.trusted()[200 + r], "row " + r);
            assertEquals(r < 100 || r > 103, image.trusted()[400 + r], "row " + r);
            assertEquals(r != 100 && r != 101, image.trusted()[600 + r], "row " + r);
        }
    }

    /**
     * One unknown row is no bridge into the unknown: lone known rows beyond bone stay untrusted.
     */
    @Test
    void gapsBesideTheUnknownAreNotBridged() {
        FieldLayout layout = Fields.layout(1, 200, SPACING, ERRORS);
        DisplacementField field = Fields.known(layout);
        for (int r = 100; r < 200; r++) {
            if (r != 101) {
                field.markUnknown(r);
            }
        }
        StrainImage image = Lines.estimate(DEFAULTS, field);
        assertTrue(image.trusted()[94]);
        assertFalse(image.trusted()[100]);
        assertFalse(image.trusted()[102]);
    }

    @Test
    void trustNeedsCorrelationAndPrecision() {
        FieldLayout layout = Fields.layout(1, 200, SPACING, ERRORS);
        DisplacementField field = Fields.known(layout);
        Arrays.fill(field.correlation(), 0, 60, 0.59f);
        field.correlation()[100] = 0.59f;
        Arrays.fill(field.axialDeviation(), 150, 200, 5e-6f);
        StrainImage image = Lines.estimate(DEFAULTS, field);
        assertFalse(image.trusted()[30]);
        assertTrue(image.trusted()[99]);
        assertFalse(image.trusted()[100]);
        assertTrue(image.axialDeviation()[120] < 1e-3);
        assertTrue(image.axialDeviation()[180] > 1e-3);
        assertFalse(image.trusted()[180]);
        assertFalse(Float.isNaN(image.axial()[180]));
    }

    @Test
    void oneRowThatClaimsToBeExactDoesNotSpoilItsNeighbours() {
        FieldLayout layout = Fields.layout(1, 300, SPACING, ERRORS);
        DisplacementField field = Fields.random(layout, 0, 8);
        Arrays.fill(field.axialDeviation(), 9e-5f);
        field.axialDeviation()[150] = 0;
        StrainImage image = Lines.estimate(DEFAULTS, field);
        for (int r = 12; r < 288; r++) {
            PlainLine plain = PlainLine.fit(field, 0, r, 12, 0.75);
            // In its own windows it weighs 8e9 times what the others do, which costs digits.
            double tolerance = Math.abs(r - 150) <= 12 ? 1e-4 : 1e-6;
            assertEquals(
                    plain.slope,
                    image.axial()[r],
                    tolerance * (0.1 + Math.abs(plain.slope)),
                    "row " + r);
            assertEquals(plain.deviation, image.axialDeviation()[r], tolerance * plain.deviation);
        }
    }

    @ParameterizedTest
    @ValueSource(ints = {2, 5})
    void sameBitsForAnyNumberOfWorkers(int count) {
        LeastSquaresLineConfig config =
                new LeastSquaresLineConfig(2e-3, 0.7, 0.4, 0.05, 1.5e-3, 1.2e-3);
        for (ScanGeometry geometry : new ScanGeometry[] {Fields.linear(23), Fields.convex(23)}) {
            FieldLayout layout =
                    new FieldLayout(geometry, new RowGrid(150, 2e-3, SPACING), true, ERRORS);
            DisplacementField field = Fields.random(layout, 0.05, 9);
            StrainImage one = Lines.estimate(config, field);
            try (Workers workers = Workers.threads(count)) {
                StrainEstimator estimator =
                        new LeastSquaresLineProvider().create(config, layout, workers);
                StrainImage many = estimator.newImage();
                for (int repeat = 0; repeat < 3; repeat++) {
                    estimator.estimate(field, many);
                    assertArrayEquals(bits(one.axial()), bits(many.axial()));
                    assertArrayEquals(bits(one.axialDeviation()), bits(many.axialDeviation()));
                    assertArrayEquals(bits(one.lateral()), bits(many.lateral()));
                    assertArrayEquals(bits(one.shear()), bits(many.shear()));
                    assertArrayEquals(one.trusted(), many.trusted());
                }
            }
        }
    }

    @Test
    void fieldIsNotModified() {
        FieldLayout layout = lateralLayout(20);
        DisplacementField field = Fields.random(layout, 0.1, 10);
        DisplacementField same = Fields.random(layout, 0.1, 10);
        Lines.estimate(DEFAULTS, field);
        assertArrayEquals(bits(same.axial()), bits(field.axial()));
        assertArrayEquals(bits(same.axialDeviation()), bits(field.axialDeviation()));
        assertArrayEquals(bits(same.lateral()), bits(field.lateral()));
        assertArrayEquals(bits(same.lateralDeviation()), bits(field.lateralDeviation()));
        assertArrayEquals(bits(same.correlation()), bits(field.correlation()));
    }

    @Test
    void allocatesNothing() {
        LeastSquaresLineConfig config =
                new LeastSquaresLineConfig(2e-3, 0.7, 0.4, 0.05, 1.5e-3, 1.2e-3);
        FieldLayout layout = lateralLayout(20);
        DisplacementField field = Fields.random(layout, 0.1, 11);
        StrainEstimator estimator =
                new LeastSquaresLineProvider().create(config, layout, Workers.sequential());
        StrainImage image = estimator.newImage();
        for (int i = 0; i < 50; i++) {
            estimator.estimate(field, image);
        }
        ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
        long thread = Thread.currentThread().getId();
        // The query itself may allocate the first time.
        threads.getThreadAllocatedBytes(thread);
        long before = threads.getThreadAllocatedBytes(thread);
        for (int i = 0; i < 20; i++) {
            estimator.estimate(field, image);
        }
        assertEquals(0, threads.getThreadAllocatedBytes(thread) - before);
    }

    @Test
    void refusesWindowsThatDoNotFit() {
        LeastSquaresLineProvider provider = new LeastSquaresLineProvider();
        FieldLayout shallow = Fields.layout(1, 18, SPACING, ERRORS);
        String few =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> provider.create(DEFAULTS, shallow, Workers.sequential()))
                        .getMessage();
        assertTrue(few.contains("25 rows, of which 19 must be known; the field has 18"), few);
        FieldLayout coarse = Fields.layout(1, 18, 5e-3, ERRORS);
        String thin =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> provider.create(DEFAULTS, coarse, Workers.sequential()))
                        .getMessage();
        assertTrue(thin.contains("must be at least 0.005 m"), thin);
    }

    @Test
    void aFieldJustDeepEnoughHasOneKnownRow() {
        StrainImage image =
                Lines.estimate(DEFAULTS, Fields.known(Fields.layout(1, 19, SPACING, ERRORS)));
        for (int r = 0; r < 19; r++) {
            assertEquals(r >= 6 && r <= 12, !Float.isNaN(image.axial()[r]), "row " + r);
        }
    }

    @Test
    void refusesOtherLayoutsWithBoth() {
        FieldLayout layout = Fields.layout(2, 60, SPACING, ERRORS);
        StrainEstimator estimator =
                new LeastSquaresLineProvider().create(DEFAULTS, layout, Workers.sequential());
        DisplacementField other = Fields.known(Fields.layout(2, 61, SPACING, ERRORS));
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> estimator.estimate(other, estimator.newImage()))
                        .getMessage();
        assertTrue(message.contains("rows=61") && message.contains("rows=60"), message);
    }

    @Test
    void refusesParametersOutOfRange() {
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> new LeastSquaresLineConfig(1, 0.75, 0.6, 1e-3, 2e-3, 0))
                        .getMessage();
        assertTrue(message.contains("window-depth") && message.contains("0.05 m"), message);
    }

    private static FieldLayout lateralLayout(int lines) {
        return new FieldLayout(Fields.linear(lines), new RowGrid(60, 2e-3, SPACING), true, ERRORS);
    }

    private static int[] bits(float[] plane) {
        int[] bits = new int[plane.length];
        for (int i = 0; i < bits.length; i++) {
            bits[i] = Float.floatToRawIntBits(plane[i]);
        }
        return bits;
    }
}
