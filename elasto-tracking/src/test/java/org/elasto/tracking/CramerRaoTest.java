package org.elasto.tracking;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.stream.Stream;
import org.elasto.api.DisplacementField;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.phantoms.CramerRaoBound;
import org.elasto.phantoms.ShiftedNoise;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Pure sub-sample shifts of flat-band noise against the smallest jitter that any estimator can
 * have: Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995. Window length and lines count as
 * they are: lines are independent, and a Gaussian window across L lines averages (sum w)^2 / sum
 * w^2 of them.
 */
class CramerRaoTest {

    private static final double BANDWIDTH = 0.6;
    private static final int LINES = 64;
    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(LINES, 1600, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    static Stream<Arguments> estimators() {
        return Stream.of(
                Arguments.of("coarse-to-fine-phase", "bandwidth=0.66, minimum-correlation=0.1"),
                Arguments.of("lattice-phase", "bandwidth=0.66, minimum-correlation=0.1"),
                Arguments.of("axial-lattice-phase", "bandwidth=0.66, minimum-correlation=0.1"),
                Arguments.of("dynamic-programming", "bandwidth=0.66, minimum-correlation=0.1"),
                Arguments.of("seed-growth", "bandwidth=0.66, minimum-correlation=0.1"),
                Arguments.of(
                        "cross-correlation",
                        "peak=spline, bandwidth=0.66, minimum-correlation=0.1"));
    }

    @ParameterizedTest
    @MethodSource("estimators")
    void jitterStaysCloseToTheBound(String name, String parameters) {
        DisplacementEstimator estimator =
                Catalogue.create(
                        Catalogue.displacementEstimators().get(name),
                        parameters,
                        GEOMETRY,
                        Workers.sequential());
        DisplacementField field = estimator.newField();
        double[] decibels = {10, 20, 30, 40};
        double[] limits = {1.15, 1.15, 1.15, 1.5};
        StringBuilder seen = new StringBuilder(name);
        boolean all = true;
        for (int i = 0; i < decibels.length; i++) {
            double ratio = jitter(estimator, field, decibels[i]) / bound(name, field, decibels[i]);
            seen.append(String.format(" %.0f dB: %.3f", decibels[i], ratio));
            all &= ratio <= limits[i];
            // Less than the bound would mean that the window is counted wrong.
            all &= ratio >= 0.85;
        }
        System.out.println("jitter over the Cramer-Rao bound, " + seen);
        assertTrue(all, seen.toString());
    }

    private static double bound(String name, DisplacementField field, double decibels) {
        double windowTime = 2 * field.layout().axialErrors().length() / GEOMETRY.soundSpeed();
        double one =
                CramerRaoBound.axialDisplacement(
                        CramerRaoBound.delayFlatBand(
                                GEOMETRY.centreFrequency(),
                                BANDWIDTH,
                                windowTime,
                                1,
                                Math.pow(10, decibels / 20)),
                        GEOMETRY.soundSpeed());
        // 1.2 mm of window width over lines 0.3 mm apart; one line for cross-correlation.
        return name.equals("cross-correlation") ? one : one / Math.sqrt(effectiveLines(1.2 / 0.3));
    }

    private static double effectiveLines(double equivalent) {
        double deviation = equivalent / (2 * Math.sqrt(Math.PI));
        double sum = 0;
        double squares = 0;
        for (int l = -4; l <= 4; l++) {
            double w = Math.exp(-0.5 * l * l / (deviation * deviation));
            sum += w;
            squares += w * w;
        }
        return sum * sum / squares;
    }

    /**
     * Standard deviation over independent places away from the edges, for four different shifts.
     */
    private static double jitter(
            DisplacementEstimator estimator, DisplacementField field, double decibels) {
        double squares = 0;
        int count = 0;
        int unknown = 0;
        int gross = 0;
        double[] shifts = {3.1e-6, -12.7e-6, 41.9e-6, 118.3e-6};
        for (int i = 0; i < shifts.length; i++) {
            ShiftedNoise.Pair pair =
                    new ShiftedNoise(GEOMETRY, BANDWIDTH, Math.pow(10, decibels / 20), 1)
                            .make(shifts[i], 9100 + i);
            estimator.estimate(pair.reference(), pair.moved(), field);
            int rows = field.rows();
            for (int line = 8; line < LINES - 8; line++) {
                for (int row = rows / 6; row < rows - rows / 6; row++) {
                    double error = field.axial()[line * rows + row] - shifts[i];
                    // A wrong peak is not jitter, but it must be rare.
                    if (Math.abs(error) < GEOMETRY.wavelength() / 4) {
                        squares += error * error;
                        count++;
                    } else if (Double.isNaN(error)) {
                        unknown++;
                    } else {
                        gross++;
                    }
                }
            }
        }
        assertTrue(count > 10000, "compared " + count);
        assertTrue(gross < 1e-3 * count, gross + " gross of " + count);
        assertTrue(unknown < 0.01 * count, unknown + " unknown of " + count);
        return Math.sqrt(squares / count);
    }
}
