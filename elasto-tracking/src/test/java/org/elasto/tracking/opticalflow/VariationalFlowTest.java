package org.elasto.tracking.opticalflow;

import static org.junit.jupiter.api.Assertions.assertTrue;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.phantoms.CramerRaoBound;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.ShiftedNoise;
import org.elasto.phantoms.Truth;
import org.elasto.phantoms.motion.SlidingBlocks;
import org.junit.jupiter.api.Test;

class VariationalFlowTest {

    private static final double BANDWIDTH = 0.6;
    private static final double WAVELENGTH = 1540 / 7.5e6;
    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(48, 1200, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    /**
     * Pure shifts of flat-band noise against the smallest jitter of a window as large as the
     * solution averages: Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995. The lines are
     * independent of each other.
     */
    @Test
    void jitterAndItsPredictionKeepToTheBound() {
        VariationalFlowConfig d = VariationalFlowConfig.DEFAULTS;
        VariationalFlowConfig config =
                new VariationalFlowConfig(
                        d.smoothingLength(),
                        d.smoothingWidth(),
                        d.jump(),
                        d.rowSpacing(),
                        d.searchRange(),
                        d.lateralRange(),
                        0.66,
                        d.steps(),
                        0.1);
        VariationalFlowEstimator estimator =
                new VariationalFlowEstimator(config, GEOMETRY, Workers.sequential());
        DisplacementField field = estimator.newField();
        double windowTime = 2 * config.smoothingLength() / GEOMETRY.soundSpeed();
        double[] shifts = {3.1e-6, -12.7e-6, 41.9e-6, 118.3e-6};
        for (int decibels = 10; decibels <= 30; decibels += 10) {
            double snr = Math.pow(10, decibels / 20.0);
            double squares = 0;
            double relative = 0;
            int count = 0;
            for (int i = 0; i < shifts.length; i++) {
                ShiftedNoise.Pair pair =
                        new ShiftedNoise(GEOMETRY, BANDWIDTH, snr, 1).make(shifts[i], 310 + i);
                estimator.estimate(pair.reference(), pair.moved(), field);
                for (int line = 8; line < 40; line++) {
                    for (int row = field.rows() / 6; row < field.rows() * 5 / 6; row++) {
                        int at = line * field.rows() + row;
                        double error = field.axial()[at] - shifts[i];
                        squares += error * error;
                        relative += Math.pow(error / field.axialDeviation()[at], 2);
                        count++;
                    }
                }
            }
            double bound =
                    CramerRaoBound.axialDisplacement(
                                    CramerRaoBound.delayFlatBand(
                                            7.5e6, BANDWIDTH, windowTime, 1, snr),
                                    GEOMETRY.soundSpeed())
                            / Math.sqrt(config.smoothingWidth() / 0.3e-3);
            double ratio = Math.sqrt(squares / count) / bound;
            double calibration = Math.sqrt(relative / count);
            String seen = decibels + " dB: jitter " + ratio + ", calibration " + calibration;
            System.out.println("variational-flow over the Cramer-Rao bound, " + seen);
            assertTrue(ratio > 0.8 && ratio <= 1.3, seen);
            assertTrue(calibration > 0.85 && calibration <= 1.2, seen);
        }
    }

    private static Phantom.Builder tissue(double snr) {
        return Phantom.builder()
                .geometry(GEOMETRY)
                .sampleType(SampleType.FLOAT32)
                .seed(77)
                .noise(snr, 15e-3);
    }

    /** Errors of the cells that count, and how many of those are missing or gross. */
    private record Seen(double axial, double lateral, int cells, int unknown, int gross) {}

    private static Seen track(Phantom phantom, double slipAt) {
        RfFrame first = RfFrame.allocate(GEOMETRY, SampleType.FLOAT32);
        RfFrame second = RfFrame.allocate(GEOMETRY, SampleType.FLOAT32);
        phantom.read(0, first);
        phantom.read(1, second);
        VariationalFlowEstimator estimator =
                new VariationalFlowEstimator(
                        VariationalFlowConfig.DEFAULTS, GEOMETRY, Workers.sequential());
        DisplacementField field = estimator.newField();
        estimator.estimate(first, second, field);
        Truth truth = phantom.truth(0, 1, field.layout().grid());
        double axial = 0;
        double lateral = 0;
        int cells = 0;
        int unknown = 0;
        int gross = 0;
        for (int line = 4; line < 44; line++) {
            for (int row = 0; row < field.rows(); row++) {
                double depth = field.layout().grid().depth(row);
                double x = GEOMETRY.x(line, depth);
                int at = line * field.rows() + row;
                if (depth < 2e-3 || depth > 21e-3 || Math.abs(x - slipAt) < 1.5e-3) {
                    continue;
                }
                cells++;
                double error = field.axial()[at] - truth.axial()[at];
                if (Double.isNaN(error)) {
                    unknown++;
                } else if (Math.abs(error) > WAVELENGTH / 4) {
                    gross++;
                } else {
                    axial += error * error;
                    lateral += Math.pow(field.lateral()[at] - truth.lateral()[at], 2);
                }
            }
        }
        int good = cells - unknown - gross;
        return new Seen(Math.sqrt(axial / good), Math.sqrt(lateral / good), cells, unknown, gross);
    }

    @Test
    void sidewaysDriftIsMeasured() {
        Seen small = track(tissue(20).press(0, 0.002).drift(0, 100e-6).build(), 1);
        assertTrue(small.lateral < 6e-6 && small.axial < 0.3e-6, small.toString());
        // Windows in which speckle beside a place outshines it are left out.
        assertTrue(small.gross == 0 && small.unknown < 0.005 * small.cells, small.toString());
        // Two lines: the coarse search must start again from where tissue has gone.
        Seen large = track(tissue(20).press(0, 0.002).drift(0, 600e-6).build(), 1);
        assertTrue(large.lateral < 12e-6 && large.axial < 0.4e-6, large.toString());
        assertTrue(large.unknown + large.gross < 0.01 * large.cells, large.toString());
        System.out.println("variational-flow, drift: " + small + ", " + large);
    }

    @Test
    void slippingBlocksKeepTheirOwnMotion() {
        Phantom phantom =
                tissue(30)
                        .press(0, 0.002)
                        .motion(
                                "slip",
                                new SlidingBlocks(SlidingBlocks.Plane.VERTICAL, 0.4e-3),
                                0,
                                0.6e-3)
                        .build();
        Seen seen = track(phantom, 0.4e-3);
        System.out.println("variational-flow, slip: " + seen);
        assertTrue(seen.gross + seen.unknown < 0.01 * seen.cells, seen.toString());
        assertTrue(seen.axial < 0.1e-6 && seen.lateral < 4e-6, seen.toString());
    }

    @Test
    void twoLinesHaveAxialMotionOnly() {
        ScanGeometry narrow = ScanGeometry.linear(2, 1200, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        VariationalFlowEstimator estimator =
                new VariationalFlowEstimator(
                        VariationalFlowConfig.DEFAULTS, narrow, Workers.sequential());
        ShiftedNoise.Pair pair = new ShiftedNoise(narrow, BANDWIDTH, 100, 1).make(20e-6, 4);
        DisplacementField field = estimator.newField();
        estimator.estimate(pair.reference(), pair.moved(), field);
        assertTrue(field.lateral() == null);
        int compared = 0;
        for (int row = field.rows() / 6; row < field.rows() * 5 / 6; row++) {
            double error = field.axial()[row] - 20e-6;
            assertTrue(Math.abs(error) < 2e-6, row + ": " + error);
            compared++;
        }
        assertTrue(compared > 50, "compared " + compared);
    }
}
