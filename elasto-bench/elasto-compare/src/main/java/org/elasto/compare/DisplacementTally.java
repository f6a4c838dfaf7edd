package org.elasto.compare;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.ScanGeometry;

/**
 * Errors of displacement against the truth, counted up.
 *
 * <p>An error beyond a quarter of the wavelength is gross; everything else that is known is fine.
 */
final class DisplacementTally {

    private double sum;
    private double squares;
    private double boundSquares;
    private double ratioSquares;
    private double calibrationSum;
    private double calibrationSquares;
    private long fine;
    private long gross;
    private long visible;
    private long knownInvisible;
    private long invisible;

    /**
     * The smallest standard deviation that the spectra allow for windows as long and as wide as a
     * field says (Knapp and Carter, IEEE Trans ASSP 24(4):320-327, 1976), noise being independent
     * from line to line.
     *
     * @return for each row (m), NaN where it is not known
     */
    static double[] bounds(TrueMotion truth, int first, int second, FieldLayout layout) {
        ScanGeometry geometry = layout.geometry();
        double length = layout.axialErrors().length();
        double lines =
                Math.max(
                        1,
                        layout.lateralErrors().length()
                                / geometry.lineSpacing(geometry.lastDepth() / 2));
        double[] bound = new double[layout.grid().rows()];
        if (!(length > 0)) {
            Arrays.fill(bound, Double.NaN);
            return bound;
        }
        for (int row = 0; row < bound.length; row++) {
            bound[row] =
                    truth.bound(first, second, layout.grid().depth(row), length) / Math.sqrt(lines);
        }
        return bound;
    }

    /**
     * Adds one place.
     *
     * @param field the field
     * @param at index of the place in it
     * @param expected true displacement (m), NaN where nothing can be seen
     * @param bound smallest possible deviation there (m)
     * @param quarterWavelength what a gross error begins at (m)
     * @return whether it is known and the error is not gross
     */
    boolean add(
            DisplacementField field,
            int at,
            double expected,
            double bound,
            double quarterWavelength) {
        boolean known = field.correlation()[at] > 0;
        if (Double.isNaN(expected)) {
            invisible++;
            knownInvisible += known ? 1 : 0;
            return false;
        }
        visible++;
        if (!known) {
            return false;
        }
        double error = field.axial()[at] - expected;
        if (!(Math.abs(error) <= quarterWavelength)) {
            gross++;
            return false;
        }
        fine++;
        sum += error;
        squares += error * error;
        boundSquares += bound * bound;
        ratioSquares += error * error / (bound * bound);
        double calibrated = error / field.axialDeviation()[at];
        calibrationSum += calibrated;
        calibrationSquares += calibrated * calibrated;
        return true;
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
}
