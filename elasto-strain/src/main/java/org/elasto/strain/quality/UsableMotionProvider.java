package org.elasto.strain.quality;

import org.elasto.api.FieldLayout;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.QualityMetricProvider;

/**
 * Judges whether the motion between two frames is in the range that can be used: the smaller of two
 * scores, each rising in a straight line from 0 to 1.
 *
 * <p><b>Enough.</b> The strain of all trusted places, root mean square without the share that its
 * predicted errors have in it, over the root mean square of the predicted deviations: from {@code
 * least-ratio} to {@code good-ratio}. Taking squares, it does not matter where tissue was pressed
 * and where released.
 *
 * <p><b>Not too much.</b> The mean match correlation of the places of the strain image that match
 * best, as many as {@code counted-share} says, those without a match counting as 0: from {@code
 * least-correlation} to {@code good-correlation}. Too much squeezing is not told here from what
 * else spoils a match, such as lost contact; see {@code contact}.
 *
 * <p>The map gives the same for each place by its own strain, deviation and correlation, 0 where
 * strain is unknown. Where nothing is known at all the score is 0.
 *
 * <p>Stateless and thread-safe.
 */
public final class UsableMotionProvider implements QualityMetricProvider<UsableMotionConfig> {

    /** For the service loader. */
    public UsableMotionProvider() {}

    @Override
    public String name() {
        return "usable-motion";
    }

    @Override
    public String summary() {
        return "whether tissue was squeezed enough to be measured and little enough to be followed";
    }

    @Override
    public String source() {
        return "common practice, no source";
    }

    @Override
    public UsableMotionConfig defaults() {
        return UsableMotionConfig.DEFAULTS;
    }

    @Override
    public String meaningOfZero() {
        return "too little motion to be measured, or so much that the echoes no longer match";
    }

    @Override
    public String meaningOfOne() {
        return "motion in the good range: clearly measured, and the echoes match well";
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
            UsableMotionConfig config, FieldLayout field, StrainLayout strain, Workers workers) {
        return new UsableMotion(config, field, strain);
    }
}
