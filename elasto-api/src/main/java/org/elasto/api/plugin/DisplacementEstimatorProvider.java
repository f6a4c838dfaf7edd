package org.elasto.api.plugin;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;

/**
 * Makes displacement estimators of one kind.
 *
 * @param <C> config record
 */
public interface DisplacementEstimatorProvider<C extends Record> extends PluginProvider<C> {

    /**
     * Makes an estimator.
     *
     * @param config parameters
     * @param geometry geometry of the frames it will be given
     * @param workers threads it may use; the result does not depend on them
     * @return a new estimator
     * @throws IllegalArgumentException if the config cannot work on the geometry, such as a window
     *     longer than the frame, with both
     */
    DisplacementEstimator create(C config, ScanGeometry geometry, Workers workers);
}
