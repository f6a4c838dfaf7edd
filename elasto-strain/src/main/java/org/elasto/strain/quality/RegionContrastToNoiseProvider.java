package org.elasto.strain.quality;

import org.elasto.api.FieldLayout;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.QualityMetricProvider;

/**
 * Judges a pair by how well the strain of two regions can be told apart: contrast to noise, {@code
 * sqrt(2 (m1 - m2)² / (s1² + s2²))} (Varghese &amp; Ophir, Ultrasound Med Biol 24:915&ndash;924,
 * 1998), as {@link org.elasto.strain.measure.RegionComparison#contrastToNoise}. A value v scores
 * {@code v / (v + h)} with h the parameter {@code value-of-half}: it rises steadily, and {@code v =
 * h s / (1 - s)} leads back from the score s. NaN where nothing is trusted in a region. No map.
 *
 * <p>Stateless and thread-safe.
 */
public final class RegionContrastToNoiseProvider implements QualityMetricProvider<RegionsConfig> {

    /** For the service loader. */
    public RegionContrastToNoiseProvider() {}

    @Override
    public String name() {
        return "region-contrast-to-noise";
    }

    @Override
    public String summary() {
        return "contrast of the strain of two regions over their deviations";
    }

    @Override
    public String source() {
        return "Varghese & Ophir, Ultrasound Med Biol 24:915-924, 1998";
    }

    @Override
    public RegionsConfig defaults() {
        return RegionsConfig.CONTRAST;
    }

    @Override
    public String meaningOfZero() {
        return "the two regions strain alike";
    }

    @Override
    public String meaningOfOne() {
        return "the two regions differ by far more than each does in itself";
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
                RegionMetric.Quantity.CONTRAST_TO_NOISE,
                config.inside(),
                config.beside(),
                config.valueOfHalf(),
                field,
                strain);
    }
}
