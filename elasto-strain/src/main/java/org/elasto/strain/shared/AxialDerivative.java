package org.elasto.strain.shared;

import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;

/**
 * A way to differentiate axial displacement along the lines, with its predicted deviation: what
 * makes one strain estimator different from another. {@link LineByLineEstimator} does the rest.
 */
public interface AxialDerivative {

    /**
     * Depth over which the response to a step of strain rises from 10 % to 90 %.
     *
     * @return depth (m)
     */
    double resolution();

    /**
     * Does what must be done for the whole field before its lines.
     *
     * @param field the field
     */
    default void begin(DisplacementField field) {}

    /**
     * Writes axial strain and its deviation, both NaN where unknown, for all rows of some lines
     * that follow each other. Blocks of lines may come in any order, and several at a time by
     * different workers.
     *
     * @param field the field
     * @param first number of the first line
     * @param count number of lines, {@link BlockLine#LINES} at most
     * @param worker number of the worker that does them
     * @param out receives the lines' strain and deviation
     * @param meanMatch receives the mean correlation of what strain was estimated from, an array
     *     for each line
     */
    void lines(
            DisplacementField field,
            int first,
            int count,
            int worker,
            StrainImage out,
            float[][] meanMatch);
}
