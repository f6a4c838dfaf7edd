package org.elasto.api.plugin;

import org.elasto.api.FieldLayout;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;

/**
 * Makes quality metrics of one kind.
 *
 * @param <C> config record
 */
public interface QualityMetricProvider<C extends Record> extends PluginProvider<C> {

    /**
     * What a score of 0 means.
     *
     * @return one phrase
     */
    String meaningOfZero();

    /**
     * What a score of 1 means.
     *
     * @return one phrase
     */
    String meaningOfOne();

    /**
     * Makes a metric.
     *
     * @param config parameters
     * @param field layout of the displacement fields
     * @param strain layout of the strain images
     * @param workers threads it may use; the result does not depend on them
     * @return a new metric
     * @throws IllegalArgumentException if the config cannot work on the layouts
     */
    QualityMetric create(C config, FieldLayout field, StrainLayout strain, Workers workers);
}
