package org.elasto.strain.smoothing;

import org.elasto.api.FieldLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.elasto.strain.shared.LineByLineEstimator;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.SlopeWeights;
import org.elasto.strain.shared.TrustRule;

/**
 * Strain as the derivative of a polynomial fitted to the axial displacements of a window in depth,
 * after a polynomial across the lines has smoothed the displacement of each row (Savitzky &amp;
 * Golay, Anal Chem 36(8):1627&ndash;1639, 1964). All known rows weigh alike, whatever their
 * deviation, so that the filter is the same everywhere and its frequency response known.
 *
 * <p>Unknown places: where a window has holes, or reaches beyond the field, the polynomial is
 * fitted anew to what is known, if that is {@code usable-share} of the rows at least. Smoothing
 * across the lines leaves unknown places unknown, and places with fewer known lines around them
 * than that share as they are.
 *
 * <p>The predicted variance is that of the weights used, with the correlation of errors along the
 * line and across the lines that the field states; after smoothing across the lines, the errors of
 * two rows are taken to go together as before. That is exact where deviations change with depth or
 * across the lines, and nearly so where they change with both.
 *
 * <p>Limits: polynomials of order 3 and more keep sharper edges and overshoot them; they need
 * longer windows for the same noise.
 *
 * <p>What is trusted, and lateral and shear strain, are as in {@link
 * org.elasto.strain.leastsquares.LeastSquaresLineProvider}.
 *
 * <p>Stateless and thread-safe.
 */
public final class SmoothingDerivativeProvider
        implements StrainEstimatorProvider<SmoothingDerivativeConfig> {

    /** For the service loader. */
    public SmoothingDerivativeProvider() {}

    @Override
    public String name() {
        return "smoothing-derivative";
    }

    @Override
    public String summary() {
        return "derivative of a polynomial in depth, of displacement smoothed by one across the"
                + " lines";
    }

    @Override
    public String source() {
        return "Savitzky & Golay, Anal Chem 36(8):1627-1639, 1964";
    }

    @Override
    public SmoothingDerivativeConfig defaults() {
        return SmoothingDerivativeConfig.DEFAULTS;
    }

    /**
     * Makes an estimator.
     *
     * @param config parameters
     * @param field layout of the displacement fields it will be given
     * @param workers threads it may use; the result does not depend on them
     * @return a new estimator
     * @throws IllegalArgumentException if the window does not fit the field, or has too few rows or
     *     lines for the order
     */
    @Override
    public StrainEstimator create(
            SmoothingDerivativeConfig config, FieldLayout field, Workers workers) {
        RowWindow window =
                RowWindow.of("window-depth", config.windowDepth(), config.usableShare(), field);
        SlopeWeights weights = SmoothingDerivative.weights(config, window);
        return LineByLineEstimator.of(
                new SmoothingDerivative(config, weights, field, workers),
                new TrustRule(config.minimumCorrelation(), config.deviationLimit(), window.half()),
                config.lateralWindow(),
                window,
                field,
                workers);
    }
}
