package org.elasto.strain.quality;

import org.elasto.api.FieldLayout;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.QualityMetricProvider;

/**
 * Judges a pair by the signal-to-noise ratio of strain that is to be expected (Varghese &amp;
 * Ophir, IEEE Trans UFFC 44(1):164&ndash;172, 1997: mean over standard deviation): size of the mean
 * strain of all trusted places over the root mean square of their predicted deviations. There the
 * deviation was that seen over even tissue; here it is the predicted one, so that stiff and soft
 * places do not count as noise.
 *
 * <p>A ratio q scores {@code q / (q + h)} with h the parameter {@code ratio-of-half}: it rises
 * steadily, and {@code q = h s / (1 - s)} leads back from the score s. The map scores each trusted
 * place by its own strain and deviation, NaN elsewhere. The score is NaN where nothing is trusted;
 * it does not tell how much is. Tissue that is pressed in one part and released in another has a
 * small mean and scores low.
 *
 * <p>Stateless and thread-safe.
 */
public final class PredictedSignalToNoiseProvider
        implements QualityMetricProvider<PredictedSignalToNoiseConfig> {

    /** For the service loader. */
    public PredictedSignalToNoiseProvider() {}

    @Override
    public String name() {
        return "predicted-signal-to-noise";
    }

    @Override
    public String summary() {
        return "mean strain over its predicted deviation, where trusted";
    }

    @Override
    public String source() {
        return "Varghese & Ophir, IEEE Trans UFFC 44(1):164-172, 1997";
    }

    @Override
    public PredictedSignalToNoiseConfig defaults() {
        return PredictedSignalToNoiseConfig.DEFAULTS;
    }

    @Override
    public String meaningOfZero() {
        return "strain cannot be told from its own errors";
    }

    @Override
    public String meaningOfOne() {
        return "strain is far above its own errors";
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
            PredictedSignalToNoiseConfig config,
            FieldLayout field,
            StrainLayout strain,
            Workers workers) {
        return new PredictedSignalToNoise(config, field, strain);
    }
}
