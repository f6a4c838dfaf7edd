package org.elasto.strain.quality;

import org.elasto.api.FieldLayout;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.QualityMetricProvider;

/**
 * Judges a pair by the signal-to-noise ratio of strain seen in a region of even tissue: mean over
 * standard deviation (Varghese &amp; Ophir, IEEE Trans UFFC 44(1):164&ndash;172, 1997), as {@link
 * org.elasto.strain.measure.RegionStatistics#signalToNoise}. A value v scores {@code v / (v + h)}
 * with h the parameter {@code ratio-of-half}: it rises steadily, and {@code v = h s / (1 - s)}
 * leads back from the score s. NaN where nothing is trusted in a region. No map.
 *
 * <p>Stateless and thread-safe.
 */
public final class RegionSignalToNoiseProvider implements QualityMetricProvider<RegionConfig> {

    /** For the service loader. */
    public RegionSignalToNoiseProvider() {}

    @Override
    public String name() {
        return "region-signal-to-noise";
    }

    @Override
    public String summary() {
        return "mean strain over its deviation, as seen in a region";
    }

    @Override
    public String source() {
        return "Varghese & Ophir, IEEE Trans UFFC 44(1):164-172, 1997";
    }

    @Override
    public RegionConfig defaults() {
        return RegionConfig.DEFAULTS;
    }

    @Override
    public String meaningOfZero() {
        return "the strain of the region is lost in its spread";
    }

    @Override
    public String meaningOfOne() {
        return "the strain of the region is the same all over it";
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
            RegionConfig config, FieldLayout field, StrainLayout strain, Workers workers) {
        return new RegionMetric(
                RegionMetric.Quantity.SIGNAL_TO_NOISE,
                config.region(),
                null,
                config.ratioOfHalf(),
                field,
                strain);
    }
}
