package org.elasto.strain.quality;

import org.elasto.api.FieldLayout;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.QualityMetricProvider;

/**
 * Judges a pair by how well its echoes match once the motion is undone: the mean of the field's
 * match correlation over all places whose strain is known.
 *
 * <p>The map gives the correlation of each of these places, linearly interpolated along depth where
 * the strain image has other rows than the field, and NaN where strain is unknown. The score is NaN
 * where there is nothing to average. It does not tell how much of the image is known, unless {@code
 * count-unknown} is set.
 *
 * <p>Stateless and thread-safe.
 */
public final class MatchCorrelationProvider
        implements QualityMetricProvider<MatchCorrelationConfig> {

    /** For the service loader. */
    public MatchCorrelationProvider() {}

    @Override
    public String name() {
        return "match-correlation";
    }

    @Override
    public String summary() {
        return "mean correlation of the matched echoes where strain is known";
    }

    @Override
    public String source() {
        return "common practice, no source";
    }

    @Override
    public MatchCorrelationConfig defaults() {
        return MatchCorrelationConfig.DEFAULTS;
    }

    @Override
    public String meaningOfZero() {
        return "the echoes of the two frames have nothing in common";
    }

    @Override
    public String meaningOfOne() {
        return "the echoes match perfectly once the motion is undone";
    }

    /**
     * Makes a metric.
     *
     * @param config parameters
     * @param field layout of the displacement fields
     * @param strain layout of the strain images
     * @param workers not used
     * @return a new metric
     * @throws IllegalArgumentException if the two layouts belong to different geometries
     */
    @Override
    public QualityMetric create(
            MatchCorrelationConfig config,
            FieldLayout field,
            StrainLayout strain,
            Workers workers) {
        return new MatchCorrelation(config, field, strain);
    }
}
