package org.elasto.strain.leastsquares;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.strain.shared.AxialDerivative;
import org.elasto.strain.shared.BlockLine;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.SlidingLine;

/** Axial strain as {@link LeastSquaresLineProvider} describes it. */
final class WeightedLine implements AxialDerivative {

    private final RowWindow window;

    /** Null where windows are so long that sums which slide cost less. */
    private final BlockLine[] blocks;

    private final SlidingLine[] sliding;

    WeightedLine(RowWindow window, FieldLayout field, Workers workers) {
        this.window = window;
        boolean isShort = BlockLine.suits(window);
        blocks = isShort ? new BlockLine[workers.count()] : null;
        sliding = isShort ? null : new SlidingLine[workers.count()];
        for (int i = 0; i < workers.count(); i++) {
            if (isShort) {
                blocks[i] = new BlockLine(window, field.grid().rows());
            } else {
                sliding[i] = new SlidingLine(window, field.grid().rows());
            }
        }
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
        if (blocks != null) {
            blocks[worker].fit(field, first, count, out.axial(), out.axialDeviation(), meanMatch);
            return;
        }
        for (int j = 0; j < count; j++) {
            int at = (first + j) * field.rows();
            sliding[worker].fit(
                    field.axial(),
                    field.axialDeviation(),
                    field.correlation(),
                    at,
                    out.axial(),
                    out.axialDeviation(),
                    meanMatch[j],
                    at);
        }
    }
}
