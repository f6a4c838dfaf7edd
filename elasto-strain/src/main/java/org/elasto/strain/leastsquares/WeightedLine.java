package org.elasto.strain.leastsquares;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.strain.shared.AxialDerivative;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.SlidingLine;

/** Axial strain as {@link LeastSquaresLineProvider} describes it. */
final class WeightedLine implements AxialDerivative {

    private final RowWindow window;
    private final SlidingLine[] fits;

    WeightedLine(RowWindow window, FieldLayout field, Workers workers) {
        this.window = window;
        fits = new SlidingLine[workers.count()];
        for (int i = 0; i < fits.length; i++) {
            fits[i] = new SlidingLine(window, field.grid().rows());
        }
    }

    @Override
    public double resolution() {
        return window.resolution();
    }

    @Override
    public void line(
            DisplacementField field, int line, int worker, StrainImage out, float[] meanMatch) {
        int offset = line * field.rows();
        fits[worker].fit(
                field.axial(),
                field.axialDeviation(),
                field.correlation(),
                offset,
                out.axial(),
                out.axialDeviation(),
                meanMatch,
                offset);
    }
}
