package org.elasto.strain.live;

import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;

/** What a plugin must not give, looked at in every frame so that no lie reaches the picture. */
final class Contract {

    private Contract() {}

    static void check(DisplacementField field) {
        float[] correlation = field.correlation();
        float[] axial = field.axial();
        float[] deviation = field.axialDeviation();
        for (int i = 0; i < correlation.length; i++) {
            float c = correlation[i];
            boolean known = c > 0;
            // 0 times a finite value is 0, times anything else NaN.
            boolean sound = c >= 0 && c <= 1 && (!known || axial[i] * 0 == 0 && deviation[i] >= 0);
            if (!sound) {
                throw new IllegalStateException(
                        "displacement "
                                + axial[i]
                                + " m with deviation "
                                + deviation[i]
                                + " m and correlation "
                                + c
                                + " at place "
                                + i
                                + "; the correlation must be from 0 to 1, and where it is not 0"
                                + " the displacement finite and the deviation 0 or more");
            }
        }
    }

    static void check(StrainImage image) {
        float[] axial = image.axial();
        float[] deviation = image.axialDeviation();
        boolean[] trusted = image.trusted();
        for (int i = 0; i < trusted.length; i++) {
            if (trusted[i] && !(axial[i] * 0 == 0 && deviation[i] >= 0 && deviation[i] * 0 == 0)) {
                throw new IllegalStateException(
                        "strain "
                                + axial[i]
                                + " with deviation "
                                + deviation[i]
                                + " is called trusted at place "
                                + i
                                + "; both must be finite, the deviation 0 or more");
            }
        }
    }

    static void checkScore(double score) {
        if (!(score >= 0 && score <= 1) && !Double.isNaN(score)) {
            throw new IllegalStateException(
                    "score " + score + "; it must be from 0 to 1, or NaN for none");
        }
    }
}
