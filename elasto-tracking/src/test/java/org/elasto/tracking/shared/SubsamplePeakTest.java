package org.elasto.tracking.shared;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.apache.commons.math3.fitting.PolynomialCurveFitter;
import org.apache.commons.math3.fitting.WeightedObservedPoints;
import org.junit.jupiter.api.Test;

/**
 * The bias of the parabola and the exactness of the cosine for a pure tone: Cespedes, Huang, Ophir
 * and Spratt, Ultrasonic Imaging 17:142-171, 1995.
 */
class SubsamplePeakTest {

    /** Radians a sample of 7.5 MHz at 40 MHz. */
    private static final double STEP = 2 * Math.PI * 7.5 / 40;

    @Property(seed = "41", tries = 300)
    void cosineIsExactForATone(
            @ForAll @DoubleRange(min = -0.5, max = 0.5) double offset,
            @ForAll @DoubleRange(min = 0.1, max = 1.5) double step,
            @ForAll @DoubleRange(min = 0.01, max = 100) double amplitude) {
        double found =
                SubsamplePeak.cosine(
                        amplitude * Math.cos(step * (-1 - offset)),
                        amplitude * Math.cos(step * offset),
                        amplitude * Math.cos(step * (1 - offset)));
        assertEquals(offset, found, 1e-9);
    }

    @Test
    void parabolaIsBiasedPeriodically() {
        double greatest = 0;
        for (int i = 0; i <= 100; i++) {
            double offset = -0.5 + i / 100.0;
            double bias = parabolaOfTone(offset) - offset;
            // No bias at a sample and half-way between two; odd in between.
            assertEquals(-bias, parabolaOfTone(-offset) + offset, 1e-12);
            greatest = Math.max(greatest, Math.abs(bias));
        }
        assertEquals(0, parabolaOfTone(0), 1e-12);
        assertEquals(0.5, parabolaOfTone(0.5), 1e-12);
        // From the closed form, tan-like: offset = 0.5 tan(w d) sin w / (1 - cos w).
        double closed = 0;
        for (int i = 0; i <= 100; i++) {
            double d = i / 200.0;
            double estimate = 0.5 * Math.tan(STEP * d) * Math.sin(STEP) / (1 - Math.cos(STEP));
            closed = Math.max(closed, Math.abs(estimate - d));
        }
        assertEquals(closed, greatest, 1e-12);
        assertTrue(greatest > 0.005, "greatest bias " + greatest + " samples");
    }

    private static double parabolaOfTone(double offset) {
        return SubsamplePeak.parabola(
                Math.cos(STEP * (-1 - offset)),
                Math.cos(STEP * offset),
                Math.cos(STEP * (1 - offset)));
    }

    @Property(seed = "42", tries = 200)
    void parabolaIsThatOfCommonsMath(
            @ForAll @DoubleRange(min = -1, max = 0.99) double before,
            @ForAll @DoubleRange(min = -1, max = 0.99) double after) {
        WeightedObservedPoints points = new WeightedObservedPoints();
        points.add(-1, before);
        points.add(0, 1);
        points.add(1, after);
        double[] c = PolynomialCurveFitter.create(2).fit(points.toList());
        assertEquals(-c[1] / (2 * c[2]), SubsamplePeak.parabola(before, 1, after), 1e-6);
    }

    @Test
    void flatAndRisingCurvesHaveNoPeakBetween() {
        assertEquals(0, SubsamplePeak.parabola(1, 1, 1));
        assertEquals(0, SubsamplePeak.parabola(0, 1, 2));
        assertEquals(0, SubsamplePeak.cosine(0, 0, 0));
    }
}
