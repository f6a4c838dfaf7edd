package org.elasto.tracking;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.Truth;

/** Errors of a field against a phantom's exact motion, over visible places within limits. */
public final class TrackingErrors {

    private double squares;
    private double scaledSquares;
    private double lateralSquares;
    private double lateralScaledSquares;

    /** Visible places, those of them that are known, and known ones that are grossly wrong. */
    public int visible;

    public int known;
    public int gross;

    /** Which places count. */
    @FunctionalInterface
    public interface Places {
        boolean holds(int line, double depth);
    }

    /** An estimator by name. */
    public static DisplacementEstimator estimator(
            String name, String parameters, ScanGeometry geometry) {
        return Catalogue.create(
                Catalogue.displacementEstimators().get(name),
                parameters,
                geometry,
                Workers.sequential());
    }

    /** Estimates from frame 0 to 1 of a phantom. */
    public static TrackingErrors of(String name, Phantom phantom, Places places) {
        ScanGeometry geometry = phantom.geometry();
        DisplacementEstimator estimator = estimator(name, "", geometry);
        DisplacementField field = estimator.newField();
        RfFrame first = RfFrame.allocate(geometry, SampleType.INT16);
        RfFrame second = RfFrame.allocate(geometry, SampleType.INT16);
        phantom.read(0, first);
        phantom.read(1, second);
        estimator.estimate(first, second, field);
        RowGrid grid = field.layout().grid();
        Truth truth = phantom.truth(0, 1, grid);
        TrackingErrors errors = new TrackingErrors();
        for (int line = 0; line < geometry.lines(); line++) {
            for (int row = 0; row < grid.rows(); row++) {
                int i = line * grid.rows() + row;
                if (truth.visible()[i] && places.holds(line, grid.depth(row))) {
                    errors.visible++;
                    double lateral = field.lateral() == null ? 0 : field.lateral()[i];
                    double lateralDeviation =
                            field.lateral() == null ? 1 : field.lateralDeviation()[i];
                    errors.add(
                            field.axial()[i] - truth.axial()[i],
                            field.axialDeviation()[i],
                            lateral - truth.lateral()[i],
                            lateralDeviation,
                            geometry.wavelength() / 4);
                }
            }
        }
        return errors;
    }

    /** Adds a place. */
    public void add(
            double axial,
            double deviation,
            double lateral,
            double lateralDeviation,
            double grossFrom) {
        if (Double.isNaN(axial)) {
            return;
        }
        known++;
        if (Math.abs(axial) > grossFrom) {
            gross++;
            return;
        }
        squares += axial * axial;
        scaledSquares += axial / deviation * (axial / deviation);
        lateralSquares += lateral * lateral;
        lateralScaledSquares += lateral / lateralDeviation * (lateral / lateralDeviation);
    }

    private double mean(double sum) {
        return Math.sqrt(sum / (known - gross));
    }

    /** Root mean square axial error (m), gross ones left out. */
    public double axial() {
        return mean(squares);
    }

    /** Root mean square of axial errors over their predicted deviations. */
    public double axialOverPredicted() {
        return mean(scaledSquares);
    }

    /** Root mean square lateral error (m). */
    public double lateral() {
        return mean(lateralSquares);
    }

    /** Root mean square of lateral errors over their predicted deviations. */
    public double lateralOverPredicted() {
        return mean(lateralScaledSquares);
    }

    @Override
    public String toString() {
        return String.format(
                "%d visible, %d known, %d gross; axial %.4f um, %.3f of predicted; lateral %.3f um,"
                        + " %.3f of predicted",
                visible,
                known,
                gross,
                axial() * 1e6,
                axialOverPredicted(),
                lateral() * 1e6,
                lateralOverPredicted());
    }
}
