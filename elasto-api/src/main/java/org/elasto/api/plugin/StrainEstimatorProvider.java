package org.elasto.api.plugin;

import org.elasto.api.FieldLayout;
import org.elasto.api.Workers;

/**
 * Makes strain estimators of one kind.
 *
 * @param <C> config record
 */
public interface StrainEstimatorProvider<C extends Record> extends PluginProvider<C> {

    /**
     * Makes an estimator.
     *
     * @param config parameters
     * @param field layout of the displacement fields it will be given
     * @param workers threads it may use; the result does not depend on them
     * @return a new estimator
     * @throws IllegalArgumentException if the config cannot work on the layout, with both
     */
    StrainEstimator create(C config, FieldLayout field, Workers workers);
}
