package org.elasto.strain.leastsquares;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.strain.shared.AxialDerivative;
import org.elasto.strain.shared.BlockLine;
import org.elasto.strain.shared.LineDerivative;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.SlidingLine;

/**
 * Axial strain as {@link LeastSquaresLineProvider} describes it, by sums that slide along a line:
 * for windows of any length.
 */
final class WeightedLine implements LineDerivative {

    private final RowWindow window;
    private final SlidingLine[] fits;

    private WeightedLine(RowWindow window, FieldLayout field, Workers workers) {
        this.window = window;
        fits = new SlidingLine[workers.count()];
        Arrays.setAll(fits, i -> new SlidingLine(window, field.grid().rows()));
    }

    /** The quicker way for a window. */
    static AxialDerivative of(RowWindow window, FieldLayout field, Workers workers) {
        return BlockLine.suits(window)
                ? new WeightedLines(window, field, workers)
                : new WeightedLine(window, field, workers);
    }

    @Override
    public double resolution() {
        return window.resolution();
    }

    @Override
    public void line(
            DisplacementField field, int line, int worker, StrainImage out, float[] meanMatch) {
        int at = line * field.rows();
        fits[worker].fit(
                field.axial(),
                field.axialDeviation(),
                field.correlation(),
                at,
                out.axial(),
                out.axialDeviation(),
                meanMatch,
                at);
    }
}
