package org.elasto.tracking.shared;

import org.elasto.api.DisplacementField;

/**
 * Takes back what windows that are cut at the ends of a line do to a displacement: they show the
 * motion of the middle of what is left of them. Motion is taken to go on in a straight line there,
 * at the slope that it has behind the end. What is less certain there is allowed for in predicted
 * deviations. Immutable and thread-safe.
 */
public final class LineEnds {

    /**
     * How far speckle, which gives the places of a window their weights, moves the middle of a cut
     * window by, as a share of how far the cut does. Measured: with this, errors within 1.2 mm of
     * the transducer are 1.04 to 1.41 times as far from what is predicted as those in the middle.
     */
    private static final double SPECKLE = 0.2;

    private final int half;
    private final int length;
    private final double limit;

    /** How far the middle of a cut window lies from its own place, from the end on. */
    private final float[] shifts;

    /**
     * For windows along lines.
     *
     * @param along the window
     * @param length samples of a line
     * @param limit greatest change over half a window that is no jump, in the displacement's unit
     */
    public LineEnds(GaussianWindow along, int length, double limit) {
        half = along.halfWidth();
        this.length = length;
        this.limit = limit;
        shifts = along.endShifts(length);
    }

    /**
     * Completes the predicted deviations of a judged field: near the ends of a line and at the
     * outermost lines less is averaged than elsewhere.
     *
     * @param field the field, whose deviations hold for windows far from all ends
     * @param rowStep samples from row to row of the field
     * @param ends factor of the axial deviation at each sample of a line
     * @param lateralEnds the same for the lateral deviation; a window of its own is included
     * @param sides factor of both at each line
     */
    public static void allowForEnds(
            DisplacementField field,
            int rowStep,
            float[] ends,
            float[] lateralEnds,
            float[] sides) {
        int rows = field.rows();
        for (int line = 0; line < field.lines(); line++) {
            for (int row = 0; row < rows; row++) {
                int at = line * rows + row;
                int n = row * rowStep;
                field.axialDeviation()[at] *= sides[line] * ends[n];
                if (field.lateralDeviation() != null) {
                    field.lateralDeviation()[at] *= sides[line] * lateralEnds[n];
                }
            }
        }
    }

    /**
     * Straightens both ends of every line. A line shorter than four half-widths is left as it is,
     * and so is an end behind which the displacement jumps.
     *
     * @param displacement displacement of the samples, line after line; every value known
     */
    public void straighten(float[] displacement) {
        if (length < 4 * half) {
            return;
        }
        for (int at = 0; at < displacement.length; at += length) {
            straighten(displacement, at, 1);
            straighten(displacement, at + length - 1, -1);
        }
    }

    private void straighten(float[] displacement, int end, int step) {
        double slope = slope(displacement, end, step);
        for (int i = 0; i < half; i++) {
            displacement[end + i * step] -= (float) (slope * shifts[i]);
        }
    }

    /** Slope behind an end, away from it; 0 where there is a jump. */
    private double slope(float[] displacement, int end, int step) {
        double rise = displacement[end + 2 * half * step] - displacement[end + half * step];
        return Math.abs(rise) <= limit ? rise / Math.max(1, half) : 0;
    }

    /**
     * Adds to the predicted deviations what a straightened end may still be off by.
     *
     * @param displacement the straightened displacement of the samples, line after line
     * @param field the field made of it, one row every so many samples
     * @param rowStep samples from row to row
     */
    public void allowForStraightening(float[] displacement, DisplacementField field, int rowStep) {
        if (length < 4 * half) {
            return;
        }
        int rows = field.rows();
        for (int line = 0; line < field.lines(); line++) {
            int first = line * length;
            double begins = doubt(displacement, first, 1);
            double ends = doubt(displacement, first + length - 1, -1);
            for (int row = 0; row < rows; row++) {
                int fromBegin = row * rowStep;
                int fromEnd = length - 1 - fromBegin;
                if (fromBegin < half) {
                    widen(field, line * rows + row, begins * shifts[fromBegin]);
                }
                if (fromEnd < half) {
                    widen(field, line * rows + row, ends * shifts[fromEnd]);
                }
            }
        }
    }

    /** How wrong the slope may be: by what speckle does, and by what it changes by behind. */
    private double doubt(float[] displacement, int end, int step) {
        double slope = slope(displacement, end, step);
        double behind = slope(displacement, end + half * step, step);
        return Math.hypot(SPECKLE * slope, slope - behind);
    }

    private static void widen(DisplacementField field, int at, double by) {
        float[] deviation = field.axialDeviation();
        deviation[at] = (float) Math.sqrt(deviation[at] * deviation[at] + by * by);
    }
}
