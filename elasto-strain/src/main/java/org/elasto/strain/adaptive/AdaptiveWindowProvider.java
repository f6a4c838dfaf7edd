package org.elasto.strain.adaptive;

import org.elasto.api.FieldLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.elasto.strain.shared.LineByLineEstimator;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.TrustRule;

/**
 * Strain as the slope of a weighted least-squares line through a window of axial displacements that
 * is only as deep as the wanted precision asks for: fine where the displacement is precise, and
 * averaged farther where it is not. (A window that follows the noise is common practice, no source;
 * slopes and their variance are those of Kallel &amp; Ophir, Ultrasonic Imaging 19:195&ndash;208,
 * 1997, as in {@link org.elasto.strain.leastsquares.LeastSquaresLineProvider}.)
 *
 * <p>Windows from {@code least-depth} to {@code most-depth}, each deeper than the last by a quarter
 * or a little more, are tried in turn until the predicted deviation is at most {@code precision}.
 * The slope is then taken between that window's and the one before, so that strain has no seams
 * where the window changes; the deviation predicted for it is the wanted one, an upper bound that
 * errors which are alike reach. Where the deepest window does not meet the precision, or deeper
 * ones reach too far into the unknown, the most precise there is stands, with its own deviation.
 * Windows are chosen by predicted deviations alone, never by displacements, which leaves the strain
 * unbiased.
 *
 * <p>The resolution changes from place to place. That of the layout holds where the displacement's
 * predicted deviation is {@code typical-deviation}.
 *
 * <p>What is trusted, and lateral and shear strain, are as in {@link
 * org.elasto.strain.leastsquares.LeastSquaresLineProvider}.
 *
 * <p>Stateless and thread-safe.
 */
public final class AdaptiveWindowProvider implements StrainEstimatorProvider<AdaptiveWindowConfig> {

    /** For the service loader. */
    public AdaptiveWindowProvider() {}

    @Override
    public String name() {
        return "adaptive-window";
    }

    @Override
    public String summary() {
        return "least-squares line whose window is just deep enough for the wanted precision";
    }

    @Override
    public String source() {
        return "common practice, no source; slopes and variances after Kallel & Ophir, Ultrasonic"
                + " Imaging 19:195-208, 1997";
    }

    @Override
    public AdaptiveWindowConfig defaults() {
        return AdaptiveWindowConfig.DEFAULTS;
    }

    /**
     * Makes an estimator.
     *
     * @param config parameters
     * @param field layout of the displacement fields it will be given
     * @param workers threads it may use; the result does not depend on them
     * @return a new estimator
     * @throws IllegalArgumentException if a window does not fit the field
     */
    @Override
    public StrainEstimator create(AdaptiveWindowConfig config, FieldLayout field, Workers workers) {
        WindowLadder ladder = WindowLadder.of(config, field);
        RowWindow typical = ladder.typicalWindow();
        return LineByLineEstimator.of(
                new AdaptiveWindow(config.precision(), ladder, field, workers),
                new TrustRule(
                        config.minimumCorrelation(),
                        config.deviationLimit(),
                        ladder.windows()[0].half()),
                config.lateralWindow(),
                typical,
                field,
                workers);
    }
}
