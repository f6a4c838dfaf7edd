package org.elasto.strain.generalised;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.strain.shared.LineDerivative;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.SlidingWindows;
import org.elasto.strain.shared.SlopeWeights;

/** Axial strain as {@link GeneralisedLeastSquaresProvider} describes it. */
final class CorrelatedLine implements LineDerivative {

    /** Ratio of deviations within a window up to which the weights of even ones serve. */
    private static final double EVENNESS = 1.5;

    private final SlopeWeights weights;
    private final SlidingWindows slopes;

    CorrelatedLine(
            GeneralisedLeastSquaresConfig config,
            RowWindow window,
            FieldLayout field,
            Workers workers) {
        weights = weights(window, config.independentShare());
        slopes = new SlidingWindows(weights, field.grid().rows(), EVENNESS, workers);
    }

    /** The weights of even deviations. */
    static SlopeWeights weights(RowWindow window, double independentShare) {
        double[] fitted = new double[window.length()];
        fitted[0] = 1;
        for (int lag = 1; lag <= window.errors().length; lag++) {
            fitted[lag] = (1 - independentShare) * window.errors()[lag - 1];
        }
        return new SlopeWeights(window, 1, fitted);
    }

    @Override
    public double resolution() {
        return weights.resolution();
    }

    @Override
    public void line(
            DisplacementField field, int line, int worker, StrainImage out, float[] meanMatch) {
        slopes.fit(field.axial(), field.axialDeviation(), field, line, worker, out, meanMatch);
    }
}
