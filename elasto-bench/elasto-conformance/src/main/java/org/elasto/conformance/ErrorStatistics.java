package org.elasto.conformance;

import org.elasto.api.DisplacementField;

/** Errors of displacement fields against the truth, over the cells of several fields. */
final class ErrorStatistics {

    private final double grossLimit;
    private long cells;
    private long known;
    private long gross;
    private double squares;
    private double relativeSquares;
    private double deviationSquares;
    private long lateralKnown;
    private double lateralSquares;
    private double lateralRelativeSquares;

    /** Errors above a quarter of the wavelength are gross: counted, but in no mean. */
    ErrorStatistics(double wavelength) {
        grossLimit = wavelength / 4;
    }

    void add(DisplacementField field, Scene.Planes truth, Cells where) {
        for (int line = where.firstLine; line < where.endLine; line++) {
            for (int row = where.firstRow; row < where.endRow; row++) {
                int at = line * where.rows() + row;
                if (truth.visible()[at]) {
                    add(field, truth, at);
                }
            }
        }
    }

    void add(DisplacementField field, Scene.Planes truth, int at) {
        cells++;
        if (!FieldRules.isKnown(field, at)) {
            return;
        }
        known++;
        double error = (double) field.axial()[at] - truth.axial()[at];
        if (Math.abs(error) > grossLimit) {
            gross++;
            return;
        }
        double deviation = field.axialDeviation()[at];
        squares += error * error;
        relativeSquares += error * error / (deviation * deviation);
        deviationSquares += deviation * deviation;
        if (field.lateral() != null && Float.isFinite(field.lateral()[at])) {
            lateralKnown++;
            double lateral = (double) field.lateral()[at] - truth.lateral()[at];
            double predicted = field.lateralDeviation()[at];
            lateralSquares += lateral * lateral;
            lateralRelativeSquares += lateral * lateral / (predicted * predicted);
        }
    }

    long cells() {
        return cells;
    }

    long known() {
        return known;
    }

    double coverage() {
        return (double) known / cells;
    }

    double grossShare() {
        return (double) gross / known;
    }

    /** Root mean square of the axial errors that are not gross (m). */
    double rms() {
        return Math.sqrt(squares / (known - gross));
    }

    /** Root mean square of the axial errors over their predicted deviations. */
    double ratio() {
        return Math.sqrt(relativeSquares / (known - gross));
    }

    /** Root mean square of the predicted deviations (m). */
    double deviation() {
        return Math.sqrt(deviationSquares / (known - gross));
    }

    double lateralCoverage() {
        return (double) lateralKnown / cells;
    }

    double lateralRms() {
        return Math.sqrt(lateralSquares / lateralKnown);
    }

    double lateralRatio() {
        return Math.sqrt(lateralRelativeSquares / lateralKnown);
    }
}
