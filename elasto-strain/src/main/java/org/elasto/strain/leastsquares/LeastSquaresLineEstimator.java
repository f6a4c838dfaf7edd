package org.elasto.strain.leastsquares;

import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.StrainEstimator;

/** The estimator that {@link LeastSquaresLineProvider} makes and describes. */
final class LeastSquaresLineEstimator implements StrainEstimator {

    private final LeastSquaresLineConfig config;
    private final FieldLayout fieldLayout;
    private final StrainLayout layout;
    private final Workers workers;
    private final int lines;
    private final int rows;
    private final SlidingLine[] fits;
    private final float[][] meanMatch;
    private final LateralAverage average;
    private final LateralStrain lateral;
    private final Workers.Task fit = this::fitLine;

    // The arguments of the call that is under way.
    private DisplacementField field;
    private StrainImage out;

    LeastSquaresLineEstimator(LeastSquaresLineConfig config, FieldLayout field, Workers workers) {
        this.config = config;
        this.fieldLayout = field;
        this.workers = workers;
        lines = field.geometry().lines();
        rows = field.grid().rows();
        RowWindow window =
                RowWindow.of(
                        config.windowDepth(),
                        config.usableShare(),
                        field.grid(),
                        field.axialErrors());
        layout =
                new StrainLayout(
                        field.geometry(), field.grid(), field.lateral(), window.resolution());
        fits = new SlidingLine[workers.count()];
        for (int i = 0; i < fits.length; i++) {
            fits[i] = new SlidingLine(window, rows);
        }
        meanMatch = new float[workers.count()][rows];
        average =
                config.averagingWidth() > 0
                        ? new LateralAverage(config.averagingWidth(), field, workers)
                        : null;
        lateral = field.lateral() ? new LateralStrain(config, field, window, workers) : null;
    }

    @Override
    public StrainLayout layout() {
        return layout;
    }

    @Override
    public void estimate(DisplacementField newField, StrainImage newOut) {
        Check.same("layout of the displacement field", newField.layout(), fieldLayout);
        Check.same("layout of the strain image", newOut.layout(), layout);
        field = newField;
        out = newOut;
        try {
            workers.run(lines, fit);
        } finally {
            field = null;
            out = null;
        }
        if (average != null) {
            average.apply(newOut);
        }
        if (lateral != null) {
            lateral.estimate(newField, newOut);
        }
    }

    private void fitLine(int line, int worker) {
        int offset = line * rows;
        float[] mean = meanMatch[worker];
        float[] match = field.correlation();
        float[] deviation = out.axialDeviation();
        fits[worker].fit(
                field.axial(),
                field.axialDeviation(),
                match,
                offset,
                out.axial(),
                deviation,
                mean,
                offset);
        boolean[] trusted = out.trusted();
        float smallest = (float) config.minimumCorrelation();
        float largest = (float) config.deviationLimit();
        for (int r = 0; r < rows; r++) {
            // False where the deviation is NaN, that is, where strain is unknown.
            trusted[offset + r] =
                    deviation[offset + r] <= largest
                            && match[offset + r] > 0
                            && match[offset + r] >= smallest
                            && mean[r] >= smallest;
        }
    }
}
