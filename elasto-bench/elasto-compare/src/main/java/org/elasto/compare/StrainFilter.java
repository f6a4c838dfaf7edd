package org.elasto.compare;

import org.elasto.api.DisplacementField;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.phantoms.Phantom;

/**
 * What a strain estimator makes of one strain of an even phantom, gathered over several seeds: mean
 * and scatter of the trusted strain away from the edges.
 */
final class StrainFilter {

    /** Depth left out at either end (m). */
    private static final double END = 5e-3;

    /** Width left out at either side (m). */
    private static final double SIDE = 3e-3;

    private final double applied;
    private double sum;
    private double squares;
    private long trusted;
    private long places;
    private double boundSquares;
    private long boundPlaces;
    private double predictedSquares;
    private double milliseconds = Double.POSITIVE_INFINITY;

    /**
     * Begins.
     *
     * @param applied strain as the phantom has it, a positive number
     */
    StrainFilter(double applied) {
        this.applied = applied;
    }

    /** Adds the strain of one pair. */
    void add(StrainImage image, double newMilliseconds) {
        milliseconds = Math.min(milliseconds, newMilliseconds);
        eachInside(
                image.layout().geometry(),
                image.layout().grid(),
                at -> {
                    places++;
                    if (image.trusted()[at]) {
                        trusted++;
                        double strain = -image.axial()[at];
                        sum += strain;
                        squares += strain * strain;
                        predictedSquares += Math.pow(image.axialDeviation()[at], 2);
                    }
                });
    }

    /**
     * Adds the deviations that an estimator predicts for displacement whose errors are the smallest
     * possible.
     */
    void addBound(StrainImage image) {
        eachInside(
                image.layout().geometry(),
                image.layout().grid(),
                at -> {
                    boundSquares += Math.pow(image.axialDeviation()[at], 2);
                    boundPlaces++;
                });
    }

    /**
     * A field like another one, but with the smallest deviation that the phantom's spectra and the
     * field's windows allow (Knapp and Carter, IEEE Trans ASSP 24(4):320-327, 1976).
     */
    static DisplacementField withSmallestErrors(Phantom phantom, DisplacementField like) {
        DisplacementField field = new DisplacementField(like.layout());
        RowGrid grid = like.layout().grid();
        double[] bound = DisplacementTally.bounds(TrueMotion.of(phantom), 0, 1, like.layout());
        for (int line = 0; line < field.lines(); line++) {
            for (int row = 0; row < grid.rows(); row++) {
                int at = line * grid.rows() + row;
                field.axial()[at] = 0;
                field.axialDeviation()[at] = (float) bound[row];
                field.correlation()[at] = 1;
                if (field.lateral() != null) {
                    field.lateral()[at] = 0;
                    field.lateralDeviation()[at] = (float) bound[row];
                }
            }
        }
        return field;
    }

    private static void eachInside(
            ScanGeometry geometry, RowGrid grid, java.util.function.IntConsumer place) {
        int side = (int) Math.ceil(SIDE / geometry.lineSpacing(0));
        for (int line = side; line < geometry.lines() - side; line++) {
            for (int row = 0; row < grid.rows(); row++) {
                double depth = grid.depth(row);
                if (depth >= geometry.firstDepth() + END && depth <= geometry.lastDepth() - END) {
                    place.accept(line * grid.rows() + row);
                }
            }
        }
    }

    double applied() {
        return applied;
    }

    /** Mean strain over the one applied. */
    double meanShare() {
        return sum / trusted / applied;
    }

    /** Standard deviation of strain over the places. */
    double deviation() {
        double mean = sum / trusted;
        return Math.sqrt(Math.max(0, squares / trusted - mean * mean));
    }

    /** Mean over standard deviation; NaN with next to nothing trusted. */
    double signalToNoise() {
        return trustedShare() < 0.01 ? Double.NaN : sum / trusted / deviation();
    }

    /** Signal over the noise that the estimator predicts. */
    double predictedSignalToNoise() {
        return trustedShare() < 0.01
                ? Double.NaN
                : sum / trusted / Math.sqrt(predictedSquares / trusted);
    }

    /** Strain applied over the deviation from the smallest possible errors of displacement. */
    double bound() {
        return applied / Math.sqrt(boundSquares / boundPlaces);
    }

    /** Share of the places that are trusted. */
    double trustedShare() {
        return (double) trusted / places;
    }

    /** Shortest time for an image (ms). */
    double milliseconds() {
        return milliseconds;
    }
}
