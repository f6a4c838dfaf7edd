package org.elasto.strain.shared;

import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;

/** A way to differentiate that takes one line at a time. */
public interface LineDerivative extends AxialDerivative {

    /**
     * Writes axial strain and its deviation, both NaN where unknown, for all rows of a line.
     *
     * @param field the field
     * @param line number of the line
     * @param worker number of the worker that does it
     * @param out receives the line's strain and deviation
     * @param meanMatch receives, from 0 on, the mean correlation of what strain was estimated from
     */
    void line(DisplacementField field, int line, int worker, StrainImage out, float[] meanMatch);

    @Override
    default void lines(
            DisplacementField field,
            int first,
            int count,
            int worker,
            StrainImage out,
            float[][] meanMatch) {
        for (int j = 0; j < count; j++) {
            line(field, first + j, worker, out, meanMatch[j]);
        }
    }
}
