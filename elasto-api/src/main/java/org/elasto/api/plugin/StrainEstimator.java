package org.elasto.api.plugin;

import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;

/**
 * Differentiates a displacement field into a strain image. Owns its workspace; used by one thread
 * at a time; after warm-up a call allocates nothing.
 */
public interface StrainEstimator {

    /**
     * Shape of the images that this estimator fills.
     *
     * @return the layout
     */
    StrainLayout layout();

    /**
     * Estimates strain.
     *
     * <p>Every value of {@code out} is overwritten. Where nothing can be known, strain and
     * deviation are NaN and the place is untrusted. The field is not modified and not kept.
     *
     * @param field displacement
     * @param out receives the image; made by {@link #newImage} or with an equal layout
     * @throws IllegalArgumentException if the field's or the image's layout is another, with both
     */
    void estimate(DisplacementField field, StrainImage out);

    /**
     * Memory for one image.
     *
     * @return a new image with this estimator's layout
     */
    default StrainImage newImage() {
        return new StrainImage(layout());
    }
}
