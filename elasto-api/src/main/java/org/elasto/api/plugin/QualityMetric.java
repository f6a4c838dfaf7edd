package org.elasto.api.plugin;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;

/**
 * Judges a frame pair with its displacement and strain by a score from 0 to 1. Owns its workspace;
 * used by one thread at a time; after warm-up a call allocates nothing.
 */
public interface QualityMetric {

    /**
     * Whether this metric also gives a map: a score for every place of the strain image.
     *
     * @return true if it does
     */
    default boolean hasMap() {
        return false;
    }

    /**
     * Whether a score also depends on the pairs judged before, since the metric was made or last
     * {@linkplain #reset reset}. Such a metric is given the pairs of one recording in order of
     * time.
     *
     * @return true if it does
     */
    default boolean hasMemory() {
        return false;
    }

    /**
     * Forgets the pairs judged before: the metric is as if newly made. Called when a recording
     * starts anew or pairs were left out. Does nothing for a metric without memory.
     */
    default void reset() {}

    /**
     * Judges a pair.
     *
     * @param reference first frame
     * @param moved second frame
     * @param field displacement from the first to the second
     * @param strain strain made from the field
     * @param map receives the score of every place of the strain image, in its order, NaN where
     *     there is none; null if it is not wanted. Ignored by metrics without a map.
     * @return score from 0 to 1, or NaN where the pair does not allow one
     * @throws IllegalArgumentException if shapes do not fit, with both
     */
    double score(
            RfFrame reference,
            RfFrame moved,
            DisplacementField field,
            StrainImage strain,
            float[] map);
}
