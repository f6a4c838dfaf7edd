package org.elasto.tracking.blockmatching;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.phantoms.CramerRaoBound;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.ShiftedNoise;
import org.elasto.phantoms.motion.SlidingBlocks;
import org.elasto.tracking.TrackingErrors;
import org.elasto.tracking.shared.BasebandFrame;
import org.elasto.tracking.shared.FractionalShift;
import org.junit.jupiter.api.Test;

class BlockMatchingTest {

    private static final String NAME = "block-matching";

    private static Phantom.Builder tissue(int lines, double snr) {
        return Phantom.builder()
                .geometry(ScanGeometry.linear(lines, 1600, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50))
                .noise(snr, 15e-3)
                .seed(3)
                .frames(2);
    }

    private static boolean inside(int line, double depth) {
        return depth > 3e-3 && depth < 28e-3;
    }

    /**
     * Pure shifts against the smallest jitter there can be: Walker and Trahey, IEEE Trans UFFC
     * 42(2):301-308, 1995; a block of five lines, which are independent.
     */
    @Test
    void jitterStaysCloseToTheBoundAndToThePrediction() {
        ScanGeometry g = ScanGeometry.linear(24, 1200, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        DisplacementEstimator estimator = TrackingErrors.estimator(NAME, "", g);
        DisplacementField field = estimator.newField();
        double window = 2 * field.layout().axialErrors().length() / g.soundSpeed();
        for (double decibels : new double[] {10, 20, 30}) {
            double snr = Math.pow(10, decibels / 20);
            double bound =
                    CramerRaoBound.axialDisplacement(
                                    CramerRaoBound.delayFlatBand(7.5e6, 0.6, window, 1, snr), 1540)
                            / Math.sqrt(5);
            TrackingErrors errors = new TrackingErrors();
            double[] shifts = {3e-6, -13e-6, 44e-6, 120e-6};
            for (int i = 0; i < shifts.length; i++) {
                ShiftedNoise.Pair pair = new ShiftedNoise(g, 0.6, snr, 1).make(shifts[i], 70 + i);
                estimator.estimate(pair.reference(), pair.moved(), field);
                for (int line = 4; line < 20; line++) {
                    for (int row = field.rows() / 6; row < field.rows() * 5 / 6; row++) {
                        int at = line * field.rows() + row;
                        errors.visible++;
                        errors.add(
                                field.axial()[at] - shifts[i],
                                field.axialDeviation()[at],
                                field.lateral()[at],
                                field.lateralDeviation()[at],
                                50e-6);
                    }
                }
            }
            double ratio = errors.axial() / bound;
            String seen = decibels + " dB: " + ratio + " of the bound; " + errors;
            System.out.println(NAME + " " + seen);
            assertTrue(errors.known > 5000 && errors.known == errors.visible, seen);
            assertEquals(0, errors.gross, seen);
            assertTrue(ratio > 0.85 && ratio < 1.25, seen);
            assertTrue(errors.axialOverPredicted() > 0.85, seen);
            assertTrue(errors.axialOverPredicted() < 1.2, seen);
        }
    }

    @Test
    void sidewaysDriftIsMeasuredAndItsErrorPredicted() {
        for (double drift : new double[] {100e-6, -300e-6}) {
            TrackingErrors errors =
                    TrackingErrors.of(
                            NAME,
                            tissue(48, 20).drift(0, drift).build(),
                            BlockMatchingTest::inside);
            System.out.println(NAME + " drift " + drift + ": " + errors);
            assertTrue(errors.known > 0.99 * errors.visible, errors.toString());
            assertTrue(errors.lateral() < 15e-6, errors.toString());
            assertTrue(errors.lateralOverPredicted() > 0.85, errors.toString());
            assertTrue(errors.lateralOverPredicted() < 1.2, errors.toString());
        }
    }

    @Test
    void strainUpToASidewaysMotionOfABeamLosesNothing() {
        TrackingErrors gentle =
                TrackingErrors.of(
                        NAME, tissue(48, 30).press(0, 0.002).build(), BlockMatchingTest::inside);
        System.out.println(NAME + " strain 0.2 %: " + gentle);
        assertTrue(gentle.known > 0.99 * gentle.visible && gentle.gross == 0, gentle.toString());
        assertTrue(gentle.axialOverPredicted() > 0.8, gentle.toString());
        assertTrue(gentle.axialOverPredicted() < 1.2, gentle.toString());
        assertTrue(gentle.lateralOverPredicted() > 0.85, gentle.toString());
        assertTrue(gentle.lateralOverPredicted() < 1.2, gentle.toString());
        TrackingErrors hard =
                TrackingErrors.of(
                        NAME, tissue(48, 30).press(0, 0.025).build(), BlockMatchingTest::inside);
        System.out.println(NAME + " strain 2.5 %: " + hard);
        assertTrue(hard.known > 0.99 * hard.visible && hard.gross == 0, hard.toString());
        assertTrue(hard.axial() < 0.5e-6, hard.toString());
    }

    @Test
    void blocksThatSlipPastEachOtherAreRightOneWindowAway() {
        Phantom inDepth =
                tissue(48, 30)
                        .press(0, 0.002)
                        .motion(
                                "slip",
                                new SlidingBlocks(SlidingBlocks.Plane.VERTICAL, 0),
                                0,
                                700e-6)
                        .build();
        // The block is 1.5 mm wide; the slip lies between lines 23 and 24.
        TrackingErrors depth =
                TrackingErrors.of(
                        NAME, inDepth, (line, z) -> inside(line, z) && Math.abs(line - 23.5) > 5);
        System.out.println(NAME + " slip in depth: " + depth);
        assertTrue(depth.known > 0.97 * depth.visible, depth.toString());
        assertTrue(depth.gross < 0.01 * depth.known, depth.toString());
        Phantom sideways =
                tissue(48, 30)
                        .press(0, 0.002)
                        .motion(
                                "slip",
                                new SlidingBlocks(SlidingBlocks.Plane.HORIZONTAL, 15e-3),
                                0,
                                400e-6)
                        .build();
        TrackingErrors across =
                TrackingErrors.of(
                        NAME, sideways, (line, z) -> inside(line, z) && Math.abs(z - 15e-3) > 2e-3);
        System.out.println(NAME + " slip sideways: " + across);
        assertTrue(across.gross < 0.01 * across.known, across.toString());
        assertTrue(across.known > 0.97 * across.visible, across.toString());
        assertTrue(across.lateral() < 15e-6, across.toString());
    }

    /**
     * A block's displacement against the greatest correlation of that block, every sum written out,
     * over a fine grid of displacements in both directions.
     */
    @Test
    void findsTheMaximumThatAnExhaustiveSearchFinds() {
        double drift = 70e-6;
        double shift = 20e-6;
        Phantom phantom =
                tissue(24, 25)
                        .drift(0, drift)
                        .motion("shift", org.elasto.phantoms.motion.Shift.inDepth(), 0, shift)
                        .build();
        ScanGeometry g = phantom.geometry();
        RfFrame first = RfFrame.allocate(g, SampleType.INT16);
        RfFrame second = RfFrame.allocate(g, SampleType.INT16);
        phantom.read(0, first);
        phantom.read(1, second);
        DisplacementEstimator estimator = TrackingErrors.estimator(NAME, "steps=8", g);
        DisplacementField field = estimator.newField();
        estimator.estimate(first, second, field);
        BasebandFrame a = new BasebandFrame(g, 6e6, 4, Workers.sequential());
        BasebandFrame b = new BasebandFrame(g, 6e6, 4, Workers.sequential());
        a.load(first);
        b.load(second);
        // Row 60 and 110 are samples 120 and 220; the block has 25 samples and 5 lines.
        for (int row = 60; row <= 110; row += 50) {
            double[] best = search(a, b, 12, 2 * row, shift, drift / 0.3e-3, g.wavelength());
            int at = 12 * field.rows() + row;
            // Half a step of the grid, and what displacements that vary within the block make out.
            assertEquals(best[0], field.axial()[at], 0.15e-6, "axial, row " + row);
            assertEquals(best[1] * 0.3e-3, field.lateral()[at], 6e-6, "lateral, row " + row);
        }
    }

    private static double[] search(
            BasebandFrame a,
            BasebandFrame b,
            int line,
            int sample,
            double middleU,
            double middleV,
            double wavelength) {
        float[] u = new float[a.lines * a.length];
        float[] v = new float[a.lines * a.length];
        float[] re = new float[a.lines * a.length];
        float[] im = new float[a.lines * a.length];
        double[] best = {Double.NaN, Double.NaN};
        double greatest = -1;
        for (int j = -10; j <= 10; j++) {
            java.util.Arrays.fill(v, (float) (middleV + 0.01 * j));
            for (int i = -10; i <= 10; i++) {
                java.util.Arrays.fill(u, (float) (middleU + 0.1e-6 * i));
                double real = 0;
                double ea = 0;
                double eb = 0;
                for (int l = line - 2; l <= line + 2; l++) {
                    FractionalShift.warp(b, l, u, v, wavelength, re, im, l * a.length);
                    for (int n = sample - 12; n <= sample + 12; n++) {
                        int p = l * a.stride + BasebandFrame.MARGIN + n;
                        int q = l * a.length + n;
                        real += a.re[p] * re[q] + a.im[p] * im[q];
                        ea += a.re[p] * a.re[p] + a.im[p] * a.im[p];
                        eb += re[q] * re[q] + im[q] * im[q];
                    }
                }
                double r = real / Math.sqrt(ea * eb);
                if (r > greatest) {
                    greatest = r;
                    best[0] = middleU + 0.1e-6 * i;
                    best[1] = middleV + 0.01 * j;
                }
            }
        }
        return best;
    }

    /**
     * Fewer than three lines have no slope across them; the axial displacement is there all the
     * same.
     */
    @Test
    void twoLinesShowNoLateralMotion() {
        Phantom phantom = tissue(2, 30).press(0, 0.001).build();
        assertFalse(TrackingErrors.estimator(NAME, "", phantom.geometry()).layout().lateral());
        TrackingErrors errors = TrackingErrors.of(NAME, phantom, BlockMatchingTest::inside);
        assertTrue(errors.known > 0.99 * errors.visible && errors.visible > 200, "" + errors);
        assertEquals(0, errors.gross, errors.toString());
        assertTrue(errors.axial() < 0.3e-6, errors.toString());
    }
}
