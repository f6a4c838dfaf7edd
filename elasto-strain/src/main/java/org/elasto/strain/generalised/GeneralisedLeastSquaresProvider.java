package org.elasto.strain.generalised;

import org.elasto.api.FieldLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.elasto.strain.shared.LineByLineEstimator;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.TrustRule;

/**
 * Strain as the slope of a line fitted by generalised least squares (Aitken, Proc Roy Soc Edinburgh
 * 55:42&ndash;48, 1935): {@code (X'C⁻¹X)⁻¹ X'C⁻¹u} for the displacements u of a window and the
 * covariance {@code C[i][j] = s[i] s[j] r[i-j]} of their errors, with the predicted deviations s
 * and the correlation r that follows from how far the displacement estimator's windows overlap
 * ({@link FieldLayout#axialErrors}). Of all estimates that are linear in u and unbiased it has the
 * least variance, if C is right; {@code independent-share} of the variance is taken as independent
 * besides, which keeps the fit from resting on what the stated correlation says of the finest
 * detail. The predicted variance is that of the weights used under the covariance as the field
 * states it.
 *
 * <p>Where the deviations of a whole window differ by a factor of less than 1.5 the weights are
 * those of even deviations, prepared beforehand: still unbiased, and the predicted variance is that
 * of the deviations as they are; only the optimum is missed, by less than three parts in a hundred
 * (a test compares). Where they differ more, or rows are unknown, the system is solved for the
 * window itself by Cholesky decomposition.
 *
 * <p>Limits: strain finer than the displacement estimator's own window is not in the displacement,
 * however fine the stated resolution.
 *
 * <p>What is trusted, and lateral and shear strain, are as in {@link
 * org.elasto.strain.leastsquares.LeastSquaresLineProvider}.
 *
 * <p>Stateless and thread-safe.
 */
public final class GeneralisedLeastSquaresProvider
        implements StrainEstimatorProvider<GeneralisedLeastSquaresConfig> {

    /** For the service loader. */
    public GeneralisedLeastSquaresProvider() {}

    @Override
    public String name() {
        return "generalised-least-squares";
    }

    @Override
    public String summary() {
        return "slope of the line that is likeliest given how errors of overlapping windows go"
                + " together";
    }

    @Override
    public String source() {
        return "Aitken, Proc Roy Soc Edinburgh 55:42-48, 1935";
    }

    @Override
    public GeneralisedLeastSquaresConfig defaults() {
        return GeneralisedLeastSquaresConfig.DEFAULTS;
    }

    /**
     * Makes an estimator.
     *
     * @param config parameters
     * @param field layout of the displacement fields it will be given
     * @param workers threads it may use; the result does not depend on them
     * @return a new estimator
     * @throws IllegalArgumentException if the window does not fit the field
     */
    @Override
    public StrainEstimator create(
            GeneralisedLeastSquaresConfig config, FieldLayout field, Workers workers) {
        RowWindow window =
                RowWindow.of("window-depth", config.windowDepth(), config.usableShare(), field);
        return LineByLineEstimator.of(
                new CorrelatedLine(config, window, field, workers),
                new TrustRule(config.minimumCorrelation(), config.deviationLimit(), window.half()),
                config.lateralWindow(),
                window,
                field,
                workers);
    }
}
