package org.elasto.strain.quality;

import org.elasto.api.FieldLayout;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.QualityMetricProvider;

/**
 * Shows the strain of one region over that of another, without its sign: one half, with the
 * defaults, where both strain alike, less where the first strains less. More a measurement than a
 * judgement, and not a ratio of stiffness: see {@link org.elasto.strain.measure.RegionComparison}.
 * A value v scores {@code v / (v + h)} with h the parameter {@code value-of-half}: it rises
 * steadily, and {@code v = h s / (1 - s)} leads back from the score s. NaN where nothing is trusted
 * in a region. No map.
 *
 * <p>Stateless and thread-safe.
 */
public final class RegionStrainRatioProvider implements QualityMetricProvider<RegionsConfig> {

    /** For the service loader. */
    public RegionStrainRatioProvider() {}

    @Override
    public String name() {
        return "region-strain-ratio";
    }

    @Override
    public String summary() {
        return "strain of one region over that of another";
    }

    @Override
    public String source() {
        return "common practice, no source";
    }

    @Override
    public RegionsConfig defaults() {
        return RegionsConfig.RATIO;
    }

    @Override
    public String meaningOfZero() {
        return "the first region does not strain at all";
    }

    @Override
    public String meaningOfOne() {
        return "the first region strains far more than the second";
    }

    /**
     * Makes a metric.
     *
     * @param config parameters
     * @param field layout of the displacement fields
     * @param strain layout of the strain images
     * @param workers not used
     * @return a new metric
     * @throws IllegalArgumentException if the two layouts belong to different geometries, or a
     *     region lies outside the image
     */
    @Override
    public QualityMetric create(
            RegionsConfig config, FieldLayout field, StrainLayout strain, Workers workers) {
        return new RegionMetric(
                RegionMetric.Quantity.STRAIN_RATIO,
                config.inside(),
                config.beside(),
                config.valueOfHalf(),
                field,
                strain);
    }
}
