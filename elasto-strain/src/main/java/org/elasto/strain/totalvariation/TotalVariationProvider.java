package org.elasto.strain.totalvariation;

import org.elasto.api.FieldLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.elasto.strain.shared.LineByLineEstimator;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.TrustRule;

/**
 * The displacement whose strain has the least total variation and that still fits what was measured
 * (differentiation regularised so: Chartrand, ISRN Applied Mathematics 2011:164564), which keeps
 * stretches of even strain even and the edges of inclusions sharp. With displacement u, measured d
 * of deviation s, row spacing h, and strain {@code e = Du/h},
 *
 * <pre>{@code
 * sum (u - d)² / (2 n s²) + sum l |e[r] - e[r-1]| / s + sum k (h/p) |e of next line - e| / s
 * }</pre>
 *
 * is made least, n being the sum of the correlations of errors along the line, l the {@code
 * smoothing-length}, k {@code smoothing-across} and p the line spacing; with k = l all directions
 * count alike in even pixels. It is homogeneous: twice the displacement and its deviation give
 * twice the strain. Steps are those of Chambolle &amp; Pock (J Math Imaging Vis 40:120&ndash;145,
 * 2011), of which a fixed number is made.
 *
 * <p>The estimate is not linear, so its deviation cannot be had from weights. Strain that was found
 * is evened once more, errors as predicted, drawn once and for all, are put on its displacement,
 * and strain is estimated again; the root mean square of what changes within 4 mm in depth and 6 mm
 * across is the deviation (a parametric bootstrap; Efron &amp; Tibshirani, An Introduction to the
 * Bootstrap, 1993). One drawing over a few square centimetres leaves it uncertain by a tenth or
 * two. It holds the noise and not the bias: steps of strain come out smaller, by what the price of
 * a change takes off over the size of the region.
 *
 * <p>The resolution of the layout is that of a sharp step, one that moves displacement by ten
 * deviations over the smoothing length. Smaller steps are blurred, and those that do not pay for
 * themselves vanish. Cost: solved two and a half times, it takes longer than the other estimators
 * by far.
 *
 * <p>What is trusted, and lateral and shear strain, are as in {@link
 * org.elasto.strain.leastsquares.LeastSquaresLineProvider}.
 *
 * <p>Stateless and thread-safe.
 */
public final class TotalVariationProvider implements StrainEstimatorProvider<TotalVariationConfig> {

    /** For the service loader. */
    public TotalVariationProvider() {}

    @Override
    public String name() {
        return "total-variation";
    }

    @Override
    public String summary() {
        return "displacement whose strain is as even as its errors allow, with sharp edges";
    }

    @Override
    public String source() {
        return "Chartrand, ISRN Applied Mathematics 2011:164564; Chambolle & Pock, J Math Imaging"
                + " Vis 40:120-145, 2011";
    }

    @Override
    public TotalVariationConfig defaults() {
        return TotalVariationConfig.DEFAULTS;
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
    public StrainEstimator create(TotalVariationConfig config, FieldLayout field, Workers workers) {
        RowWindow window =
                RowWindow.of("trust-depth", config.trustDepth(), config.usableShare(), field);
        return LineByLineEstimator.of(
                new EvenStrain(config, window, field, workers),
                new TrustRule(config.minimumCorrelation(), config.deviationLimit(), window.half()),
                config.lateralWindow(),
                window,
                field,
                workers);
    }
}
