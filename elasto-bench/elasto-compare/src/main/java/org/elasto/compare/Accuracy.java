package org.elasto.compare;

import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
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
    private final DisplacementTally tally = new DisplacementTally();
    private double lateralSquares;
    private long lateralCount;
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
        double[] bound = DisplacementTally.bounds(TrueMotion.of(phantom), 0, 1, field.layout());
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
                add(field, truth, line * grid.rows() + row, bound[row]);
            }
        }
    }

    private void add(DisplacementField field, Truth truth, int at, double bound) {
        double quarter = field.layout().geometry().wavelength() / 4;
        double expected = truth.visible()[at] ? truth.axial()[at] : Double.NaN;
        boolean fine = tally.add(field, at, expected, bound, quarter);
        if (fine && field.lateral() != null) {
            double lateral = field.lateral()[at] - truth.lateral()[at];
            lateralSquares += lateral * lateral;
            lateralCount++;
        }
    }

    /** Mean error (m). */
    double bias() {
        return tally.bias();
    }

    /** Root mean square error (m), gross errors left out. */
    double error() {
        return tally.error();
    }

    /** Root mean square of the bound (m), where there was something to compare. */
    double bound() {
        return tally.bound();
    }

    /** Root mean square of the error in units of the bound. */
    double jitter() {
        return tally.jitter();
    }

    /** Root mean square lateral error (m). */
    double lateralError() {
        return Math.sqrt(lateralSquares / lateralCount);
    }

    /** Share of gross errors among what is known. */
    double grossShare() {
        return tally.grossShare();
    }

    /** Share of what can be seen that is known. */
    double knownShare() {
        return tally.knownShare();
    }

    /** Share of what cannot be seen that is claimed to be known all the same. */
    double falseShare() {
        return tally.falseShare();
    }

    /** Standard deviation of error over predicted deviation. */
    double calibration() {
        return tally.calibration();
    }

    /** Shortest time for a pair (ms). */
    double milliseconds() {
        return milliseconds;
    }

    Condition condition() {
        return condition;
    }
}
