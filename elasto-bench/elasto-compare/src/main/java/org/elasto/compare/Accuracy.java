package org.elasto.compare;

import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.Truth;

/**
 * How well an estimator does under one condition, gathered over several seeds.
 *
 * <p>An error beyond a quarter of the wavelength is gross; everything else that is known is fine.
 * The bound is the smallest jitter that the phantom's own spectra allow (Knapp and Carter, IEEE
 * Trans ASSP 24(4):320-327, 1976) for a window as long and as wide as the estimator says, its noise
 * independent from line to line. Within one window of a slip plane, and half a window of the ends
 * of the lines, nothing is counted.
 */
final class Accuracy {

    private final Condition condition;
    private double sum;
    private double squares;
    private double lateralSquares;
    private long lateralCount;
    private double boundSquares;
    private double ratioSquares;
    private double calibrationSum;
    private double calibrationSquares;
    private long fine;
    private long gross;
    private long visible;
    private long knownInvisible;
    private long invisible;
    private double milliseconds = Double.POSITIVE_INFINITY;

    Accuracy(Condition condition) {
        this.condition = condition;
    }

    /** Adds the field of one pair. */
    void add(Phantom phantom, DisplacementField field, double newMilliseconds) {
        milliseconds = Math.min(milliseconds, newMilliseconds);
        RowGrid grid = field.layout().grid();
        ScanGeometry geometry = phantom.geometry();
        Truth truth = phantom.truth(0, 1, grid);
        ErrorCorrelation along = field.layout().axialErrors();
        ErrorCorrelation across = field.layout().lateralErrors();
        double[] bound = bound(phantom, field.layout());
        for (int line = 0; line < field.lines(); line++) {
            for (int row = 0; row < grid.rows(); row++) {
                double depth = grid.depth(row);
                if (depth < along.length() / 2
                        || depth > geometry.lastDepth() - along.length() / 2
                        || Math.abs(geometry.x(line, depth) - condition.slipX())
                                < Math.max(across.length(), geometry.lineSpacing(depth))
                        || Math.abs(depth - condition.slipZ()) < along.length()) {
                    continue;
                }
                add(field, truth, line * grid.rows() + row, bound[row], geometry.wavelength() / 4);
            }
        }
    }

    /** Smallest deviation of displacement between frames 0 and 1 (m) for each row. */
    static double[] bound(Phantom phantom, FieldLayout layout) {
        ScanGeometry geometry = phantom.geometry();
        double lines =
                Math.max(
                        1,
                        layout.lateralErrors().length()
                                / geometry.lineSpacing(geometry.lastDepth() / 2));
        double[] bound = new double[layout.grid().rows()];
        for (int row = 0; row < bound.length; row++) {
            bound[row] =
                    phantom.displacementBound(
                                    0, 1, layout.grid().depth(row), layout.axialErrors().length())
                            / Math.sqrt(lines);
        }
        return bound;
    }

    private void add(
            DisplacementField field, Truth truth, int at, double bound, double quarterWavelength) {
        boolean known = field.correlation()[at] > 0;
        if (!truth.visible()[at]) {
            invisible++;
            knownInvisible += known ? 1 : 0;
            return;
        }
        visible++;
        if (!known) {
            return;
        }
        double error = field.axial()[at] - truth.axial()[at];
        if (!(Math.abs(error) <= quarterWavelength)) {
            gross++;
            return;
        }
        fine++;
        sum += error;
        squares += error * error;
        boundSquares += bound * bound;
        ratioSquares += error * error / (bound * bound);
        double calibrated = error / field.axialDeviation()[at];
        calibrationSum += calibrated;
        calibrationSquares += calibrated * calibrated;
        if (field.lateral() != null) {
            double lateral = field.lateral()[at] - truth.lateral()[at];
            lateralSquares += lateral * lateral;
            lateralCount++;
        }
    }

    /** Mean error (m). */
    double bias() {
        return sum / fine;
    }

    /** Root mean square error (m), gross errors left out. */
    double error() {
        return Math.sqrt(squares / fine);
    }

    /** Root mean square of the bound (m), where there was something to compare. */
    double bound() {
        return Math.sqrt(boundSquares / fine);
    }

    /** Root mean square of the error in units of the bound. */
    double jitter() {
        return Math.sqrt(ratioSquares / fine);
    }

    /** Root mean square lateral error (m). */
    double lateralError() {
        return Math.sqrt(lateralSquares / lateralCount);
    }

    /** Share of gross errors among what is known. */
    double grossShare() {
        return (double) gross / (gross + fine);
    }

    /** Share of what can be seen that is known. */
    double knownShare() {
        return (double) (gross + fine) / visible;
    }

    /** Share of what cannot be seen that is claimed to be known all the same. */
    double falseShare() {
        return (double) knownInvisible / invisible;
    }

    /** Standard deviation of error over predicted deviation. */
    double calibration() {
        double mean = calibrationSum / fine;
        return Math.sqrt(calibrationSquares / fine - mean * mean);
    }

    /** Shortest time for a pair (ms). */
    double milliseconds() {
        return milliseconds;
    }

    Condition condition() {
        return condition;
    }
}
