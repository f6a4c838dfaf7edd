package org.elasto.strain.leastsquares;

import org.elasto.api.FieldLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.elasto.strain.shared.LateralAverage;
import org.elasto.strain.shared.LateralStrain;
import org.elasto.strain.shared.LineByLineEstimator;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.TrustRule;

/**
 * Strain as the slope of a weighted least-squares line through the axial displacements of a window
 * (Kallel &amp; Ophir, Ultrasonic Imaging 19:195&ndash;208, 1997, there with equal weights).
 *
 * <p>A row weighs {@code 1/s²}, s being its predicted deviation, but never less than 1 nm: a row
 * that claims to be exact does not silence the others. Rows without correlation, with a
 * displacement or deviation that is not finite, or with a deviation above 0.1 mm count as unknown.
 * With the slope weights {@code a}, the predicted variance is {@code a' C a}, {@code C[i][j] = s[i]
 * s[j] r(d)} with the correlation r that the field states for the distance d of two rows.
 *
 * <p>The image has the field's rows. Strain is known where enough of the window is ({@code
 * usable-share}), so that at the field's ends a margin of up to half a window stays unknown. It is
 * trusted where in addition the row itself and its window on average match well enough and the
 * predicted deviation is small enough. A row that is itself unknown is bridged only in a gap of at
 * most an eighth of the window, where both ends of the gap match well and most of the window is
 * known on either side.
 *
 * <p>Where the field has lateral displacement, the same line fits across the lines and along depth
 * give lateral and shear strain. For a convex probe these are the components in the local axial and
 * lateral directions, with the terms that stem from the lines' fanning out: with r the distance
 * from the centre of curvature, lateral strain is {@code du/dx + w/r} and shear strain {@code
 * (dw/dx + du/dz - u/r) / 2} for axial displacement w and lateral displacement u.
 *
 * <p>Stateless and thread-safe.
 */
public final class LeastSquaresLineProvider
        implements StrainEstimatorProvider<LeastSquaresLineConfig> {

    /** For the service loader. */
    public LeastSquaresLineProvider() {}

    @Override
    public String name() {
        return "least-squares-line";
    }

    @Override
    public String summary() {
        return "slope of a weighted least-squares line through the displacements of a window";
    }

    @Override
    public String source() {
        return "Kallel & Ophir, Ultrasonic Imaging 19:195-208, 1997";
    }

    @Override
    public LeastSquaresLineConfig defaults() {
        return LeastSquaresLineConfig.DEFAULTS;
    }

    @Override
    public boolean preferred() {
        return true;
    }

    /**
     * Makes an estimator.
     *
     * @param config parameters
     * @param field layout of the displacement fields it will be given
     * @param workers threads it may use; the result does not depend on them
     * @return a new estimator
     * @throws IllegalArgumentException if the window is shallower than one row spacing, or deeper
     *     than the field even with the share that may be unknown
     */
    @Override
    public StrainEstimator create(
            LeastSquaresLineConfig config, FieldLayout field, Workers workers) {
        RowWindow window =
                RowWindow.of("window-depth", config.windowDepth(), config.usableShare(), field);
        return new LineByLineEstimator(
                WeightedLine.of(window, field, workers),
                new TrustRule(config.minimumCorrelation(), config.deviationLimit(), window.half()),
                field.lateral()
                        ? new LateralStrain(config.lateralWindow(), field, window, workers)
                        : null,
                config.averagingWidth() > 0
                        ? new LateralAverage(config.averagingWidth(), field, workers)
                        : null,
                field,
                workers);
    }
}
