package org.elasto.api;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Scale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Row grids, field and strain layouts, and the planes made from them. */
class LayoutTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(3, 100, 40e6, 5e6, 1540, 0, 3e-4, 50);

    private static final RowGrid GRID = new RowGrid(5, 0.001, 2e-4);

    @Test
    void rowsAreDepths() {
        assertEquals(0.001, GRID.depth(0), 0);
        assertEquals(0.0015, GRID.depth(2.5), 1e-15);
        assertEquals(0.0018, GRID.lastDepth(), 1e-15);
    }

    @Property(seed = "1", tries = 200)
    void rowAndDepthAreInverse(
            @ForAll @Scale(9) @DoubleRange(min = -10, max = 5000) double row,
            @ForAll @Scale(9) @DoubleRange(min = 0, max = 0.3) double firstDepth,
            @ForAll @Scale(9) @DoubleRange(min = 1e-5, max = 1e-3) double spacing) {
        RowGrid grid = new RowGrid(100, firstDepth, spacing);
        assertEquals(row, grid.rowAt(grid.depth(row)), 1e-8);
    }

    @ParameterizedTest
    @ValueSource(doubles = {-1e-9, Double.NaN, Double.POSITIVE_INFINITY})
    void badFirstRowIsRefused(double bad) {
        refused("depth of the first row is " + bad, () -> new RowGrid(5, bad, 1e-4));
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, -1, Double.NaN, Double.POSITIVE_INFINITY})
    void badSpacingAndResolutionAreRefused(double bad) {
        refused("row spacing is " + bad, () -> new RowGrid(5, 0, bad));
        refused("resolution is " + bad + " m", () -> new StrainLayout(GEOMETRY, GRID, false, bad));
    }

    @Test
    void badRowCountIsRefused() {
        refused("number of rows is 0; it must be from 1", () -> new RowGrid(0, 0, 1e-4));
        refused("number of rows is -1", () -> new RowGrid(-1, 0, 1e-4));
    }

    @Test
    void planesTooLargeForAnArrayAreRefused() {
        ScanGeometry wide = ScanGeometry.linear(65536, 1, 40e6, 5e6, 1540, 0, 3e-4, 50);
        RowGrid deep = new RowGrid(65536, 0, 1e-6);
        String message = "65536 lines x 65536 rows is too large";
        refused(message, () -> new FieldLayout(wide, deep, false, ErrorCorrelation.INDEPENDENT));
        refused(message, () -> new StrainLayout(wide, deep, false, 1e-3));
    }

    @Test
    void missingPartsAreRefusedByName() {
        ErrorCorrelation errors = ErrorCorrelation.INDEPENDENT;
        missing("geometry is missing", () -> new FieldLayout(null, GRID, false, errors));
        missing("row grid is missing", () -> new FieldLayout(GEOMETRY, null, false, errors));
        missing("error correlation is missing", () -> new FieldLayout(GEOMETRY, GRID, false, null));
        missing(
                "error correlation across lines is missing",
                () -> new FieldLayout(GEOMETRY, GRID, false, errors, null));
        missing("geometry is missing", () -> new StrainLayout(null, GRID, false, 1e-3));
        missing("row grid is missing", () -> new StrainLayout(GEOMETRY, null, false, 1e-3));
    }

    @Test
    void linesAreIndependentUnlessTheFieldSaysOtherwise() {
        ErrorCorrelation along = new ErrorCorrelation(ErrorCorrelation.Shape.GAUSSIAN, 1e-3);
        assertEquals(
                new FieldLayout(GEOMETRY, GRID, true, along, ErrorCorrelation.INDEPENDENT),
                new FieldLayout(GEOMETRY, GRID, true, along));
    }

    @Test
    void aNewFieldKnowsNothing() {
        DisplacementField field = field(true);
        assertEquals(3, field.lines());
        assertEquals(5, field.rows());
        assertUnknown(field.axial(), field.axialDeviation());
        assertUnknown(field.lateral(), field.lateralDeviation());
        assertEquals(15, field.correlation().length);
        for (float c : field.correlation()) {
            assertEquals(0f, c);
        }
    }

    @Test
    void aFieldWithoutLateralPlanesHasNone() {
        assertNull(field(false).lateral());
        assertNull(field(false).lateralDeviation());
    }

    @Test
    void clearForgetsEverything() {
        DisplacementField field = field(true);
        float[][] planes = {
            field.axial(),
            field.lateral(),
            field.correlation(),
            field.axialDeviation(),
            field.lateralDeviation()
        };
        for (float[] plane : planes) {
            java.util.Arrays.fill(plane, 0.5f);
        }
        field.clear();
        assertUnknown(planes[0], planes[1], planes[3], planes[4]);
        assertEquals(0f, planes[2][14]);
        assertSame(planes[0], field.axial());
    }

    @Test
    void onePlaceCanBeForgotten() {
        for (boolean lateral : new boolean[] {true, false}) {
            DisplacementField field = field(lateral);
            List<float[]> unknown = new ArrayList<>(List.of(field.axial(), field.axialDeviation()));
            if (lateral) {
                unknown.addAll(List.of(field.lateral(), field.lateralDeviation()));
            }
            unknown.forEach(plane -> java.util.Arrays.fill(plane, 0.5f));
            java.util.Arrays.fill(field.correlation(), 0.5f);
            field.markUnknown(7);
            for (int at = 0; at < 15; at++) {
                float expected = at == 7 ? Float.NaN : 0.5f;
                for (float[] plane : unknown) {
                    assertEquals(expected, plane[at]);
                }
                assertEquals(at == 7 ? 0f : 0.5f, field.correlation()[at]);
            }
        }
    }

    @Test
    void aNewImageKnowsNothingAndForgetsEverything() {
        StrainImage image = new StrainImage(new StrainLayout(GEOMETRY, GRID, true, 1e-3));
        for (int round = 0; round < 2; round++) {
            assertUnknown(image.axial(), image.axialDeviation(), image.lateral(), image.shear());
            assertEquals(15, image.trusted().length);
            for (boolean trusted : image.trusted()) {
                assertFalse(trusted);
            }
            java.util.Arrays.fill(image.axial(), 1f);
            java.util.Arrays.fill(image.axialDeviation(), 1f);
            java.util.Arrays.fill(image.lateral(), 1f);
            java.util.Arrays.fill(image.shear(), 1f);
            java.util.Arrays.fill(image.trusted(), true);
            image.clear();
        }
        StrainImage plain = new StrainImage(new StrainLayout(GEOMETRY, GRID, false, 1e-3));
        assertNull(plain.lateral());
        assertNull(plain.shear());
    }

    private static DisplacementField field(boolean lateral) {
        return new DisplacementField(
                new FieldLayout(GEOMETRY, GRID, lateral, ErrorCorrelation.INDEPENDENT));
    }

    private static void assertUnknown(float[]... planes) {
        for (float[] plane : planes) {
            assertEquals(15, plane.length);
            for (float value : plane) {
                assertTrue(Float.isNaN(value));
            }
        }
    }

    private static void missing(String message, org.junit.jupiter.api.function.Executable code) {
        assertEquals(message, assertThrows(NullPointerException.class, code).getMessage());
    }

    private static void refused(String message, org.junit.jupiter.api.function.Executable code) {
        String actual = assertThrows(IllegalArgumentException.class, code).getMessage();
        assertTrue(actual.contains(message), actual);
    }
}
