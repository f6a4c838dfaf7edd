package org.elasto.api;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.Scale;
import org.elasto.api.ErrorCorrelation.Shape;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ErrorCorrelationTest {

    private static final double SPACING = 1.9e-5;

    /**
     * White noise averaged with weights w is correlated as the autocorrelation of w, normalised.
     */
    @Test
    void gaussianShapeIsTheAutocorrelationOfAGaussianWindow() {
        double[] w = new double[801];
        for (int i = 0; i < w.length; i++) {
            double t = (i - 400) / 50.0;
            w[i] = Math.exp(-t * t / 2);
        }
        compare(Shape.GAUSSIAN, w, 1e-9);
    }

    @Test
    void triangularShapeIsTheAutocorrelationOfARectangularWindow() {
        double[] w = new double[101];
        Arrays.fill(w, 1);
        compare(Shape.TRIANGULAR, w, 1e-12);
    }

    private static void compare(Shape shape, double[] w, double tolerance) {
        double sum = Arrays.stream(w).sum();
        double squares = autocorrelation(w, 0);
        // The definition in the Javadoc of the length.
        ErrorCorrelation errors = new ErrorCorrelation(shape, sum * sum / squares * SPACING);
        for (int lag = 0; lag < w.length; lag++) {
            double expected = autocorrelation(w, lag) / squares;
            assertEquals(expected, errors.at(lag * SPACING), tolerance, "lag " + lag);
            assertEquals(expected, errors.at(-lag * SPACING), tolerance, "lag " + -lag);
        }
    }

    private static double autocorrelation(double[] w, int lag) {
        double sum = 0;
        for (int i = 0; i + lag < w.length; i++) {
            sum += w[i] * w[i + lag];
        }
        return sum;
    }

    @Property(seed = "1", tries = 200)
    void isOneAtZeroAndFallsWithDistance(
            @ForAll Shape shape,
            @ForAll @Scale(9) @DoubleRange(min = 0, max = 0.01) double length,
            @ForAll @Scale(9) @DoubleRange(min = 0, max = 0.05) double near,
            @ForAll @Scale(9) @DoubleRange(min = 0, max = 0.05) double farther) {
        ErrorCorrelation errors = new ErrorCorrelation(shape, length);
        assertEquals(1, errors.at(0));
        double a = errors.at(near);
        double b = errors.at(near + farther);
        assertTrue(a >= b && b >= 0 && a <= 1, a + " " + b);
    }

    @Test
    void independentErrorsAreIndependent() {
        assertEquals(1, ErrorCorrelation.INDEPENDENT.at(0));
        assertEquals(0, ErrorCorrelation.INDEPENDENT.at(1e-12));
        assertEquals(0, new ErrorCorrelation(Shape.GAUSSIAN, 0).at(1e-12));
    }

    @ParameterizedTest
    @ValueSource(doubles = {-1e-12, Double.NaN, Double.POSITIVE_INFINITY})
    void badLengthIsRefused(double bad) {
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> new ErrorCorrelation(Shape.GAUSSIAN, bad))
                        .getMessage();
        assertEquals("window length is " + bad + " m; it must be finite and not negative", message);
    }

    @Test
    void missingShapeIsRefused() {
        assertThrows(NullPointerException.class, () -> new ErrorCorrelation(null, 1e-3));
    }
}
