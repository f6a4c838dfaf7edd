package org.elasto.api.plugin;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;

/**
 * Tracks tissue from one frame to another. Owns its workspace; used by one thread at a time; after
 * warm-up a call allocates nothing.
 */
public interface DisplacementEstimator {

    /**
     * Shape of the fields that this estimator fills.
     *
     * @return the layout
     */
    FieldLayout layout();

    /**
     * Estimates the motion from one frame to another, at the places that tissue has in the first.
     *
     * <p>Every value of {@code out} is overwritten. Where nothing can be known (no echo, bad
     * samples, no match) the correlation is 0 and everything else NaN. The frames are not modified
     * and not kept.
     *
     * @param reference first frame
     * @param moved second frame
     * @param out receives the field; made by {@link #newField} or with an equal layout
     * @throws IllegalArgumentException if a frame's geometry or the field's layout is another, with
     *     both
     */
    void estimate(RfFrame reference, RfFrame moved, DisplacementField out);

    /**
     * Memory for one field.
     *
     * @return a new field with this estimator's layout
     */
    default DisplacementField newField() {
        return new DisplacementField(layout());
    }
}
