package org.elasto.strain.smoothing;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.strain.shared.LineDerivative;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.SlidingWindows;
import org.elasto.strain.shared.SlopeWeights;

/** Axial strain as {@link SmoothingDerivativeProvider} describes it. */
final class SmoothingDerivative implements LineDerivative {

    private final SlopeWeights weights;
    private final SlidingWindows slopes;
    private final SmoothingAcross across;

    SmoothingDerivative(
            SmoothingDerivativeConfig config,
            SlopeWeights weights,
            FieldLayout field,
            Workers workers) {
        this.weights = weights;
        slopes =
                new SlidingWindows(weights, field.grid().rows(), Double.POSITIVE_INFINITY, workers);
        across =
                config.widthAcross() > 0
                        ? new SmoothingAcross(
                                config.widthAcross(),
                                config.orderAcross(),
                                config.usableShare(),
                                field,
                                workers)
                        : null;
    }

    static SlopeWeights weights(SmoothingDerivativeConfig config, RowWindow window) {
        if (config.order() >= window.needed()) {
            throw new IllegalArgumentException(
                    "order is "
                            + config.order()
                            + "; a window of "
                            + window.length()
                            + " rows, of which "
                            + window.needed()
                            + " must be known, allows at most "
                            + (window.needed() - 1));
        }
        return new SlopeWeights(window, config.order(), null);
    }

    @Override
    public double resolution() {
        return weights.resolution();
    }

    @Override
    public void begin(DisplacementField field) {
        if (across != null) {
            across.smooth(field);
        }
    }

    @Override
    public void line(
            DisplacementField field, int line, int worker, StrainImage out, float[] meanMatch) {
        float[] displacement = across == null ? field.axial() : across.displacement();
        float[] deviation = across == null ? field.axialDeviation() : across.deviation();
        slopes.fit(displacement, deviation, field, line, worker, out, meanMatch);
    }
}
