package org.elasto.strain.leastsquares;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.strain.shared.AxialDerivative;
import org.elasto.strain.shared.BlockLine;
import org.elasto.strain.shared.RowWindow;

/**
 * Axial strain as {@link LeastSquaresLineProvider} describes it, for several lines at once: quicker
 * where windows are short.
 */
final class WeightedLines implements AxialDerivative {

    private final RowWindow window;
    private final BlockLine[] fits;

    WeightedLines(RowWindow window, FieldLayout field, Workers workers) {
        this.window = window;
        fits = new BlockLine[workers.count()];
        Arrays.setAll(fits, i -> new BlockLine(window, field.grid().rows()));
    }

    @Override
    public double resolution() {
        return window.resolution();
    }

    @Override
    public void lines(
            DisplacementField field,
            int first,
            int count,
            int worker,
            StrainImage out,
            float[][] meanMatch) {
        fits[worker].fit(field, first, count, out.axial(), out.axialDeviation(), meanMatch);
    }
}
