package org.elasto.strain.quality;

import org.elasto.api.FieldLayout;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.QualityMetricProvider;

/**
 * Judges a pair by how well its strain image agrees with that of the pair before: the size of their
 * normalised correlation {@code |sum a b| / sqrt(sum a² sum b²)} over the places trusted in both
 * (after Jiang, Hall &amp; Sommer, IEEE Trans UFFC 53(6):1088&ndash;1102, 2006, from memory; there
 * multiplied by the correlation of the echoes, which is {@code match-correlation} here).
 *
 * <p>The correlation does not change when either image is multiplied by a number of either sign, so
 * that it does not matter how hard each pair was pressed, or whether one was pressed and the other
 * released. The mean is not taken away: two images of even tissue agree, and by {@code 1 / (1 + 1 /
 * q²)} if each has the signal-to-noise ratio q. Places are compared where they are in the image,
 * without following the tissue.
 *
 * <p>Keeps the last image in memory: made or {@linkplain QualityMetric#reset reset}, the next score
 * is NaN. It is so too where one of the two images is trusted in less than the least overlap, or is
 * 0 throughout. No map.
 *
 * <p>Stateless and thread-safe.
 */
public final class ConsecutiveAgreementProvider
        implements QualityMetricProvider<ConsecutiveAgreementConfig> {

    /** For the service loader. */
    public ConsecutiveAgreementProvider() {}

    @Override
    public String name() {
        return "consecutive-agreement";
    }

    @Override
    public String summary() {
        return "normalised correlation of the strain image with the one before";
    }

    @Override
    public String source() {
        return "Jiang, Hall & Sommer, IEEE Trans UFFC 53(6):1088-1102, 2006 (from memory), strain"
                + " part alone";
    }

    @Override
    public ConsecutiveAgreementConfig defaults() {
        return ConsecutiveAgreementConfig.DEFAULTS;
    }

    @Override
    public String meaningOfZero() {
        return "the strain image has nothing in common with the one before";
    }

    @Override
    public String meaningOfOne() {
        return "the strain image is that before, but for sign and gain";
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
            ConsecutiveAgreementConfig config,
            FieldLayout field,
            StrainLayout strain,
            Workers workers) {
        return new ConsecutiveAgreement(config, field, strain);
    }
}
