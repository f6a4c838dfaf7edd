package org.elasto.conformance;

import org.elasto.api.FieldLayout;
import org.elasto.api.ScanGeometry;
import org.elasto.phantoms.CramerRaoBound;
import org.junit.jupiter.api.Assertions;

/** The places of a field that are away from its edges, as the estimator's own windows count it. */
final class Cells {

    private final FieldLayout layout;
    private final double windowLength;
    private final double windowWidth;

    final int firstLine;
    final int endLine;
    final int firstRow;
    final int endRow;

    /** At least a window and the largest displacement from either end, a width from the sides. */
    Cells(FieldLayout layout, DisplacementExpectations stated, double displacement) {
        this.layout = layout;
        windowLength = windowLength(layout, stated);
        windowWidth = stated.windowWidth();
        ScanGeometry geometry = layout.geometry();
        double margin = windowLength + Math.abs(displacement);
        firstRow = (int) Math.ceil(rowAt(geometry.firstDepth() + margin));
        endRow = 1 + (int) Math.floor(rowAt(geometry.lastDepth() - margin));
        double pitch = geometry.lineSpacing((geometry.firstDepth() + geometry.lastDepth()) / 2);
        firstLine = (int) Math.ceil(windowWidth / pitch - 1e-9);
        endLine = geometry.lines() - firstLine;
    }

    private double rowAt(double depth) {
        double row = layout.grid().rowAt(depth);
        return Math.max(0, Math.min(layout.grid().rows() - 1, row));
    }

    static double windowLength(FieldLayout layout, DisplacementExpectations stated) {
        double length =
                Double.isNaN(stated.windowLength())
                        ? layout.axialErrors().length()
                        : stated.windowLength();
        // Less than a wavelength of echo cannot be told from its neighbour a cycle on.
        return Math.max(length, layout.geometry().wavelength());
    }

    double windowLength() {
        return windowLength;
    }

    boolean isEmpty() {
        return firstLine >= endLine || firstRow >= endRow;
    }

    /** Fails where the estimator's window leaves nothing to look at. */
    Cells demand() {
        if (isEmpty()) {
            Assertions.fail(
                    "a window of "
                            + windowLength
                            + " m x "
                            + windowWidth
                            + " m leaves no place away from the edges of "
                            + Scene.describe(layout.geometry())
                            + "; override geometry() with a larger frame");
        }
        return this;
    }

    int count() {
        return (endLine - firstLine) * (endRow - firstRow);
    }

    int rows() {
        return layout.grid().rows();
    }

    /**
     * The Cramér-Rao bound of axial displacement (m) for flat-band noise in these windows; lines
     * are independent there.
     */
    double bound(double decibels, double correlation) {
        ScanGeometry geometry = layout.geometry();
        double pitch = geometry.lineSpacing(0);
        double length = windowLength * Math.max(1, windowWidth / pitch);
        double delay =
                CramerRaoBound.delayFlatBand(
                        geometry.centreFrequency(),
                        Scenes.BANDWIDTH,
                        2 * length / geometry.soundSpeed(),
                        correlation,
                        Scenes.amplitude(decibels));
        return geometry.soundSpeed() / 2 * delay;
    }
}
