package org.elasto.strain.kalman;

import org.elasto.api.FieldLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.elasto.strain.shared.LineByLineEstimator;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.TrustRule;

/**
 * Strain as a random walk along depth. The state is displacement and strain; displacement grows by
 * strain, and the variance of strain by {@code strain-change}² for every millimetre. A Kalman
 * filter goes down each line and is smoothed backwards (Rauch, Tung &amp; Striebel, AIAA Journal
 * 3(8):1445&ndash;1450, 1965), so that every row's strain rests on the whole line. Where
 * displacement is precise strain follows it closely; where it is not, or is unknown, strain is
 * carried on from both sides.
 *
 * <p>The variance of a measurement is the predicted one times the sum of the correlations of errors
 * that the field states: what independent errors would need for the same strength at long waves.
 * The predicted deviation of strain is what errors of displacement cause, as for the other
 * estimators, and not the filter's posterior one, which also holds how far strain may have walked
 * between rows. It is exact for independent errors and, for those that go together, corrected by
 * what the smoother does to their spectrum.
 *
 * <p>Departures and limits: as displacement of neighbouring rows is not independent, the filter is
 * not the optimal one, which would need the errors in its state. Strain is known where enough of
 * {@code trust-depth} around a row is. The resolution depends on the deviation of displacement
 * (with its square root); the layout states it for {@code typical-deviation}.
 *
 * <p>What is trusted, and lateral and shear strain, are as in {@link
 * org.elasto.strain.leastsquares.LeastSquaresLineProvider}.
 *
 * <p>Stateless and thread-safe.
 */
public final class KalmanSmootherProvider implements StrainEstimatorProvider<KalmanSmootherConfig> {

    /** For the service loader. */
    public KalmanSmootherProvider() {}

    @Override
    public String name() {
        return "kalman-smoother";
    }

    @Override
    public String summary() {
        return "strain as a random walk along depth, filtered and smoothed backwards";
    }

    @Override
    public String source() {
        return "Rauch, Tung & Striebel, AIAA Journal 3(8):1445-1450, 1965";
    }

    @Override
    public KalmanSmootherConfig defaults() {
        return KalmanSmootherConfig.DEFAULTS;
    }

    /**
     * Makes an estimator.
     *
     * @param config parameters
     * @param field layout of the displacement fields it will be given
     * @param workers threads it may use; the result does not depend on them
     * @return a new estimator
     * @throws IllegalArgumentException if the field has fewer rows than must be known
     */
    @Override
    public StrainEstimator create(KalmanSmootherConfig config, FieldLayout field, Workers workers) {
        RowWindow window =
                RowWindow.of("trust-depth", config.trustDepth(), config.usableShare(), field);
        return LineByLineEstimator.of(
                new RandomWalk(config, window, field, workers),
                new TrustRule(config.minimumCorrelation(), config.deviationLimit(), window.half()),
                config.lateralWindow(),
                window,
                field,
                workers);
    }
}
