package org.elasto.tracking.autocorrelation;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.phantoms.CramerRaoBound;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.ShiftedNoise;
import org.elasto.tracking.TrackingErrors;
import org.elasto.tracking.shared.BasebandFrame;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class AutocorrelationTest {

    private static final String FIXED = "autocorrelation-fixed";
    private static final String LOCAL = "autocorrelation-local";

    private static ScanGeometry geometry(double centreFrequency) {
        return ScanGeometry.linear(24, 1200, 40e6, centreFrequency, 1540, 0, 0.3e-3, 50);
    }

    private static final ScanGeometry GEOMETRY = geometry(7.5e6);

    private static TrackingErrors shifted(String name, double decibels, double... shifts) {
        DisplacementEstimator estimator = TrackingErrors.estimator(name, "", GEOMETRY);
        DisplacementField field = estimator.newField();
        TrackingErrors errors = new TrackingErrors();
        for (int i = 0; i < shifts.length; i++) {
            ShiftedNoise.Pair pair =
                    new ShiftedNoise(GEOMETRY, 0.6, Math.pow(10, decibels / 20), 1)
                            .make(shifts[i], 70 + i);
            estimator.estimate(pair.reference(), pair.moved(), field);
            for (int line = 2; line < 22; line++) {
                for (int row = field.rows() / 6; row < field.rows() * 5 / 6; row++) {
                    int at = line * field.rows() + row;
                    errors.visible++;
                    errors.add(
                            field.axial()[at] - shifts[i], field.axialDeviation()[at], 0, 1, 50e-6);
                }
            }
        }
        return errors;
    }

    /** Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995; three independent lines. */
    private static double bound(String name, double decibels) {
        double window =
                TrackingErrors.estimator(name, "", GEOMETRY).layout().axialErrors().length();
        return CramerRaoBound.axialDisplacement(
                        CramerRaoBound.delayFlatBand(
                                7.5e6, 0.6, 2 * window / 1540, 1, Math.pow(10, decibels / 20)),
                        1540)
                / Math.sqrt(3);
    }

    @ParameterizedTest
    @ValueSource(doubles = {10, 20, 30})
    void localJitterStaysCloseToTheBound(double decibels) {
        double bound = bound(LOCAL, decibels);
        TrackingErrors errors = shifted(LOCAL, decibels, 3e-6, -13e-6, 30e-6, -44e-6);
        double ratio = errors.axial() / bound;
        String seen = LOCAL + " " + decibels + " dB: " + ratio + " of the bound; " + errors;
        System.out.println(seen);
        assertTrue(errors.known > 0.999 * errors.visible && errors.visible > 5000, seen);
        assertEquals(0, errors.gross, seen);
        assertTrue(ratio > 0.85 && ratio < 1.3, seen);
        assertTrue(errors.axialOverPredicted() > 0.85 && errors.axialOverPredicted() < 1.2, seen);
    }

    /** Within the range that its provider states, and not far beyond it. */
    @ParameterizedTest
    @ValueSource(doubles = {10, 20, 30})
    void fixedJitterStaysCloseToTheBoundWithinItsRange(double decibels) {
        double bound = bound(FIXED, decibels);
        double range = 25 * bound;
        TrackingErrors within = shifted(FIXED, decibels, range, -range, range / 2, -range / 2);
        TrackingErrors atEnd = shifted(FIXED, decibels, range, -range);
        double far = Math.min(4 * range, 45e-6);
        TrackingErrors beyond = shifted(FIXED, decibels, far, -far);
        String seen =
                String.format(
                        "%s %.0f dB: %.3f of the bound up to %.1f um, %.3f there, %.3f at %.1f um",
                        FIXED,
                        decibels,
                        within.axial() / bound,
                        range * 1e6,
                        atEnd.axial() / bound,
                        beyond.axial() / bound,
                        far * 1e6);
        System.out.println(seen);
        assertTrue(within.known > 0.999 * within.visible && within.visible > 5000, seen);
        assertEquals(0, within.gross, seen);
        assertTrue(within.axial() > 0.85 * bound && atEnd.axial() < 1.3 * bound, seen);
        assertTrue(beyond.axial() > 1.3 * bound, seen);
    }

    /** With the frequency assumed the error grows with the displacement; the prediction knows. */
    @ParameterizedTest
    @ValueSource(doubles = {10, 30})
    void fixedKnowsThatItsErrorGrows(double decibels) {
        TrackingErrors small = shifted(FIXED, decibels, 1e-6, -1e-6);
        TrackingErrors large = shifted(FIXED, decibels, 30e-6, -44e-6);
        System.out.println(FIXED + " " + decibels + " dB, small " + small + ", large " + large);
        assertTrue(large.axial() > 1.3 * small.axial());
        for (TrackingErrors errors : new TrackingErrors[] {small, large}) {
            assertTrue(errors.known > 0.999 * errors.visible && errors.gross == 0, "" + errors);
            assertTrue(errors.axialOverPredicted() > 0.85, "" + errors);
            assertTrue(errors.axialOverPredicted() < 1.2, "" + errors);
        }
    }

    /** What the phase cannot tell from a smaller motion is left out. */
    @ParameterizedTest
    @ValueSource(strings = {FIXED, LOCAL})
    void beyondAQuarterWavelengthNothingIsClaimed(String name) {
        TrackingErrors errors = shifted(name, 25, 54e-6, -60e-6, 80e-6, 103e-6, 120e-6, -160e-6);
        System.out.println(name + " beyond the range: " + errors);
        assertTrue(errors.visible > 10000);
        assertTrue(errors.known < 0.005 * errors.visible, errors.toString());
    }

    /** An echo of 7 MHz under a stated centre of 7.5 MHz: 7 % off, or put right on the spot. */
    @Test
    void localMeasuresTheCentreFrequencyAndFixedDoesNot() {
        double shift = 25e-6;
        ShiftedNoise.Pair pair = new ShiftedNoise(geometry(7e6), 0.4, 100, 1).make(shift, 5);
        double fixed = mean(FIXED, pair) / shift;
        double local = mean(LOCAL, pair) / shift;
        System.out.println("7 MHz taken for 7.5 MHz: fixed " + fixed + ", local " + local);
        assertEquals(7 / 7.5, fixed, 0.005);
        assertEquals(1, local, 0.003);
    }

    private static double mean(String name, ShiftedNoise.Pair pair) {
        DisplacementEstimator estimator = TrackingErrors.estimator(name, "", GEOMETRY);
        DisplacementField field = estimator.newField();
        estimator.estimate(reread(pair.reference()), reread(pair.moved()), field);
        double sum = 0;
        int count = 0;
        for (float u : field.axial()) {
            if (!Float.isNaN(u)) {
                sum += u;
                count++;
            }
        }
        assertTrue(count > 2000, "known " + count);
        return sum / count;
    }

    /** The same samples under the other geometry. */
    private static RfFrame reread(RfFrame frame) {
        int samples = GEOMETRY.samples();
        float[] all = new float[GEOMETRY.lines() * samples];
        for (int line = 0; line < GEOMETRY.lines(); line++) {
            frame.readLine(line, all, line * samples);
        }
        return RfFrame.of(GEOMETRY, all);
    }

    /** Both papers' formulas written out, sum by sum. */
    @Test
    void agreesWithThePapersFormulasWrittenOut() {
        ShiftedNoise.Pair pair = new ShiftedNoise(GEOMETRY, 0.6, 10, 1).make(21e-6, 8);
        BasebandFrame a = new BasebandFrame(GEOMETRY, 6e6, 2, Workers.sequential());
        BasebandFrame b = new BasebandFrame(GEOMETRY, 6e6, 2, Workers.sequential());
        a.load(pair.reference());
        b.load(pair.moved());
        for (boolean local : new boolean[] {false, true}) {
            DisplacementEstimator estimator =
                    TrackingErrors.estimator(local ? LOCAL : FIXED, "", GEOMETRY);
            DisplacementField field = estimator.newField();
            estimator.estimate(pair.reference(), pair.moved(), field);
            int step = (int) Math.round(field.layout().grid().spacing() / a.spacing);
            int compared = 0;
            for (int line = 1; line < 23; line += 3) {
                for (int row = 20; row < field.rows() - 20; row += 7) {
                    double expected = plain(a, b, line, row * step, local);
                    assertEquals(expected, field.axial()[line * field.rows() + row], 1e-9);
                    compared++;
                }
            }
            assertTrue(compared > 80, "compared " + compared);
        }
    }

    private static double plain(BasebandFrame a, BasebandFrame b, int line, int n, boolean local) {
        double c = 1540;
        double f0 = 7.5e6;
        double[] lagOne = new double[2];
        double[] inDepth = new double[2];
        // 1.9 mm are 49 samples, 0.9 mm three lines.
        for (int l = line - 1; l <= line + 1; l++) {
            for (int k = n - 24; k <= n + 24; k++) {
                int at = l * a.stride + BasebandFrame.MARGIN + k;
                addProduct(a.re[at], a.im[at], b.re[at], b.im[at], lagOne);
                for (int i = at - 1; i <= at; i++) {
                    addProduct(a.re[i], a.im[i], a.re[i + 1], a.im[i + 1], inDepth);
                    addProduct(b.re[i], b.im[i], b.re[i + 1], b.im[i + 1], inDepth);
                }
            }
        }
        double f = f0;
        if (local) {
            f += Math.atan2(inDepth[1], inDepth[0]) / (2 * Math.PI) * c / (2 * a.spacing);
        }
        return -c / (4 * Math.PI * f) * Math.atan2(lagOne[1], lagOne[0]);
    }

    private static void addProduct(double ar, double ai, double br, double bi, double[] sum) {
        sum[0] += ar * br + ai * bi;
        sum[1] += ar * bi - ai * br;
    }

    /** Under strain the echo's centre of energy counts, not the window's middle. */
    @ParameterizedTest
    @ValueSource(strings = {FIXED, LOCAL})
    void strainWidensThePrediction(String name) {
        Phantom phantom =
                Phantom.builder()
                        .geometry(ScanGeometry.linear(32, 1200, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50))
                        .noise(30, 15e-3)
                        .seed(4)
                        .press(0, 0.0015)
                        .build();
        TrackingErrors errors =
                TrackingErrors.of(name, phantom, (line, z) -> z > 3e-3 && z < 21e-3);
        System.out.println(name + " strain 0.15 %: " + errors);
        assertTrue(errors.known > 0.95 * errors.visible && errors.gross == 0, errors.toString());
        assertTrue(errors.axialOverPredicted() > 0.85, errors.toString());
        assertTrue(errors.axialOverPredicted() < 1.2, errors.toString());
    }
}
