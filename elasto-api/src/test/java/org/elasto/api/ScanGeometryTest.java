package org.elasto.api;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Scale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ScanGeometryTest {

    private static final ScanGeometry LINEAR =
            ScanGeometry.linear(128, 2337, 40e6, 7.5e6, 1540, 0.002, 3e-4, 50);

    private static final ScanGeometry CONVEX =
            ScanGeometry.convex(101, 4000, 40e6, 3.5e6, 1540, 0.001, 0.06, 0.01, 30);

    /** Depth is half the way of sound: 1540 m/s at 40 MHz is 19.25 micrometres a sample. */
    @Test
    void samplesAreDepths() {
        assertEquals(19.25e-6, LINEAR.sampleSpacing(), 1e-15);
        assertEquals(0.002, LINEAR.depthOfSample(0), 0);
        assertEquals(0.002 + 1000 * 19.25e-6, LINEAR.depthOfSample(1000), 1e-12);
        assertEquals(LINEAR.depthOfSample(2336), LINEAR.lastDepth(), 0);
        assertEquals(1540 / 7.5e6, LINEAR.wavelength(), 0);
    }

    @Test
    void linearLinesAreParallel() {
        assertEquals(-63.5 * 3e-4, LINEAR.x(0, 0.01), 1e-12);
        assertEquals(63.5 * 3e-4, LINEAR.x(127, 0.03), 1e-12);
        assertEquals(0.03, LINEAR.z(5, 0.03), 0);
        assertEquals(3e-4, LINEAR.lineSpacing(0.03), 0);
        assertEquals(0, LINEAR.angleOfLine(3), 0);
    }

    /** The middle line runs straight down; line 100 leaves the face at 0.5 rad. */
    @Test
    void convexLinesFanOut() {
        assertEquals(0, CONVEX.x(50, 0.04), 1e-15);
        assertEquals(0.04, CONVEX.z(50, 0.04), 1e-15);
        assertEquals(0.5, CONVEX.angleOfLine(100), 1e-12);
        assertEquals(0.1 * Math.sin(0.5), CONVEX.x(100, 0.04), 1e-12);
        assertEquals(0.1 * Math.cos(0.5) - 0.06, CONVEX.z(100, 0.04), 1e-12);
        assertEquals(-CONVEX.x(100, 0.04), CONVEX.x(0, 0.04), 1e-12);
        assertEquals(0.1 * 0.01, CONVEX.lineSpacing(0.04), 1e-15);
        // The outermost part of the face lies behind its foremost point.
        assertTrue(CONVEX.z(100, 0) < 0);
    }

    @Property(seed = "1", tries = 200)
    void sampleAndDepthAreInverse(
            @ForAll @Scale(9) @DoubleRange(min = -100, max = 1e5) double sample,
            @ForAll @Scale(9) @DoubleRange(min = 1e6, max = 1e9) double samplingFrequency,
            @ForAll @Scale(9) @DoubleRange(min = 0, max = 0.5) double firstDepth) {
        ScanGeometry g =
                ScanGeometry.linear(
                        2, 9, samplingFrequency, 4e5, 1540, firstDepth, 1e-3, Double.NaN);
        double spacing = g.sampleSpacing();
        // The depth itself is rounded; a unit in its last place is this much of a sample.
        double rounding = 1e-9 + 4 * Math.ulp(0.5 + 1e5 * spacing) / spacing;
        assertEquals(sample, g.sampleAtDepth(g.depthOfSample(sample)), rounding);
    }

    @Property(seed = "2", tries = 200)
    void linearPointAndLineAreInverse(
            @ForAll @IntRange(min = 1, max = 512) int lines,
            @ForAll @Scale(9) @DoubleRange(min = -20, max = 600) double line,
            @ForAll @Scale(9) @DoubleRange(min = 0, max = 0.3) double depth,
            @ForAll @Scale(9) @DoubleRange(min = 1e-5, max = 1e-2) double pitch) {
        ScanGeometry g = ScanGeometry.linear(lines, 9, 40e6, 5e6, 1540, 0, pitch, 50);
        double x = g.x(line, depth);
        double z = g.z(line, depth);
        assertEquals(line, g.lineAt(x, z), 1e-9);
        assertEquals(depth, g.depthAt(x, z), 1e-12);
    }

    @Property(seed = "3", tries = 300)
    void convexPointAndLineAreInverse(
            @ForAll @IntRange(min = 2, max = 512) int lines,
            @ForAll @Scale(9) @DoubleRange(min = 0, max = 1) double across,
            @ForAll @Scale(9) @DoubleRange(min = 0, max = 0.3) double depth,
            @ForAll @Scale(9) @DoubleRange(min = 0.005, max = 0.1) double radius,
            @ForAll @Scale(9) @DoubleRange(min = 0.01, max = 6.2) double fan) {
        double angularPitch = fan / (lines - 1);
        ScanGeometry g =
                ScanGeometry.convex(lines, 9, 40e6, 5e6, 1540, 0, radius, angularPitch, 50);
        double line = across * (lines - 1);
        double x = g.x(line, depth);
        double z = g.z(line, depth);
        assertEquals(line, g.lineAt(x, z), 1e-9 * lines);
        assertEquals(depth, g.depthAt(x, z), 1e-12);
    }

    @ParameterizedTest
    @CsvSource({
        "2, sampling frequency",
        "3, centre frequency",
        "4, speed of sound",
        "6, line pitch",
        "7, frame rate"
    })
    void badQuantitiesAreRefusedByName(int parameter, String name) {
        for (double bad : new double[] {0, -1, Double.NaN, Double.POSITIVE_INFINITY, -1e-300}) {
            if (parameter == 7 && Double.isNaN(bad)) {
                continue; // an unknown frame rate is allowed
            }
            double[] p = {4, 100, 40e6, 5e6, 1540, 0, 3e-4, 50};
            p[parameter] = bad;
            refused(
                    name + " is " + bad,
                    () ->
                            ScanGeometry.linear(
                                    (int) p[0], (int) p[1], p[2], p[3], p[4], p[5], p[6], p[7]));
        }
    }

    @ParameterizedTest
    @ValueSource(doubles = {0, -1, Double.NaN, Double.POSITIVE_INFINITY})
    void badConvexQuantitiesAreRefusedByName(double bad) {
        refused("probe radius is " + bad, () -> new LineLayout.Convex(bad, 0.01));
        refused("angular pitch is " + bad, () -> new LineLayout.Convex(0.05, bad));
    }

    @ParameterizedTest
    @ValueSource(doubles = {-1e-9, Double.NaN, Double.POSITIVE_INFINITY})
    void badFirstDepthIsRefused(double bad) {
        refused(
                "depth of the first sample is " + bad,
                () -> ScanGeometry.linear(4, 100, 40e6, 5e6, 1540, bad, 3e-4, 50));
    }

    @Test
    void badCountsAreRefused() {
        refused("number of lines is 0", () -> sized(0, 10));
        refused("number of lines is -3", () -> sized(-3, 10));
        refused("samples per line is 0", () -> sized(10, 0));
        refused("number of lines is 1048577", () -> sized((1 << 20) + 1, 1));
        refused("samples per line is 67108865", () -> sized(1, (1 << 26) + 1));
        // 65536 x 65536 is 0 as an int.
        refused("65536 lines x 65536 samples is too large", () -> sized(65536, 65536));
        refused("too large; at most 2147483639", () -> sized(32, 1 << 26));
        assertEquals(31, sized(31, 1 << 26).lines());
    }

    @Test
    void centreFrequencyStaysBelowHalfTheSamplingFrequency() {
        refused(
                "centre frequency is 2.0E7 Hz; it must be below half the sampling frequency",
                () -> ScanGeometry.linear(4, 100, 40e6, 20e6, 1540, 0, 3e-4, 50));
    }

    /** An angle in degrees taken for radians shows up here. */
    @Test
    void aFanIsLessThanAFullTurn() {
        refused(
                "128 lines would fan out over 63.5 rad",
                () -> ScanGeometry.convex(128, 100, 40e6, 5e6, 1540, 0, 0.05, 0.5, 50));
        assertEquals(1, ScanGeometry.convex(1, 100, 40e6, 5e6, 1540, 0, 0.05, 9, 50).lines());
    }

    @Test
    void missingLayoutIsRefused() {
        NullPointerException e =
                assertThrows(
                        NullPointerException.class,
                        () -> new ScanGeometry(4, 9, 40e6, 5e6, 1540, 0, null, 50));
        assertEquals("line layout is missing", e.getMessage());
    }

    /** Geometries are compared at every border: an unknown frame rate must equal itself. */
    @Test
    void equalWhereAllIsEqual() {
        ScanGeometry a = ScanGeometry.linear(4, 9, 40e6, 5e6, 1540, 0, 3e-4, Double.NaN);
        ScanGeometry b = ScanGeometry.linear(4, 9, 40e6, 5e6, 1540, 0, 3e-4, Double.NaN);
        assertEquals(a, b);
        assertEquals(a.hashCode(), b.hashCode());
        assertNotEquals(a, ScanGeometry.linear(4, 9, 40e6, 5e6, 1540, 0, 3.1e-4, Double.NaN));
        assertNotEquals(a, ScanGeometry.convex(4, 9, 40e6, 5e6, 1540, 0, 1, 3e-4, Double.NaN));
    }

    private static ScanGeometry sized(int lines, int samples) {
        return ScanGeometry.linear(lines, samples, 40e6, 5e6, 1540, 0, 3e-4, 50);
    }

    private static void refused(String message, org.junit.jupiter.api.function.Executable code) {
        String actual = assertThrows(IllegalArgumentException.class, code).getMessage();
        assertTrue(actual.contains(message), actual);
    }
}
