package org.elasto.conformance;

import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;

/** What holds for every place of a field or an image, whoever made it. */
final class FieldRules {

    private FieldRules() {}

    /** Whether a field claims to know a place. */
    static boolean isKnown(DisplacementField field, int at) {
        return field.correlation()[at] > 0 && Float.isFinite(field.axial()[at]);
    }

    /**
     * The first place that is neither wholly known nor wholly unknown.
     *
     * @return what is wrong, or null
     */
    static String firstHalfKnown(DisplacementField field) {
        for (int i = 0; i < field.axial().length; i++) {
            float correlation = field.correlation()[i];
            boolean right =
                    correlation == 0
                            ? unknown(field.axial(), i)
                                    && unknown(field.axialDeviation(), i)
                                    && unknown(field.lateral(), i)
                                    && unknown(field.lateralDeviation(), i)
                            : correlation > 0
                                    && correlation <= 1
                                    && Float.isFinite(field.axial()[i])
                                    && precise(field.axialDeviation(), i)
                                    && lateralIsWhole(field, i);
            if (!right) {
                return place(i, field.rows())
                        + " has correlation "
                        + correlation
                        + ", axial displacement "
                        + field.axial()[i]
                        + " m, deviation "
                        + field.axialDeviation()[i]
                        + " m"
                        + (field.lateral() == null
                                ? ""
                                : ", lateral displacement "
                                        + field.lateral()[i]
                                        + " m, deviation "
                                        + field.lateralDeviation()[i]
                                        + " m");
            }
        }
        return null;
    }

    static final String WHOLLY_KNOWN =
            "either correlation 0 and all else NaN, or a correlation up to 1, a finite displacement"
                    + " and a finite deviation greater than 0; lateral displacement and its"
                    + " deviation likewise, or both NaN";

    /** Lateral motion may stay unknown where axial motion is known, as for a single line. */
    private static boolean lateralIsWhole(DisplacementField field, int at) {
        return unknown(field.lateral(), at) && unknown(field.lateralDeviation(), at)
                || finite(field.lateral(), at) && precise(field.lateralDeviation(), at);
    }

    /**
     * The first place of an image that is half known, or trusted without being known.
     *
     * @return what is wrong, or null
     */
    static String firstHalfKnown(StrainImage image) {
        for (int i = 0; i < image.axial().length; i++) {
            boolean known = Float.isFinite(image.axial()[i]);
            boolean right =
                    known
                            ? image.axialDeviation()[i] >= 0
                                    && Float.isFinite(image.axialDeviation()[i])
                            : Float.isNaN(image.axial()[i])
                                    && Float.isNaN(image.axialDeviation()[i])
                                    && !image.trusted()[i];
            right &= finiteOrNaN(image.lateral(), i) && finiteOrNaN(image.shear(), i);
            if (!right) {
                return place(i, image.rows())
                        + " has strain "
                        + image.axial()[i]
                        + ", deviation "
                        + image.axialDeviation()[i]
                        + ", "
                        + (image.trusted()[i] ? "trusted" : "untrusted")
                        + (image.lateral() == null
                                ? ""
                                : ", lateral strain "
                                        + image.lateral()[i]
                                        + ", shear strain "
                                        + image.shear()[i]);
            }
        }
        return null;
    }

    static final String STRAIN_WHOLLY_KNOWN =
            "either finite strain with a finite deviation of at least 0, or both NaN and untrusted";

    static String place(int at, int rows) {
        return "line " + at / rows + " row " + at % rows;
    }

    private static boolean unknown(float[] plane, int at) {
        return plane == null || Float.isNaN(plane[at]);
    }

    private static boolean finite(float[] plane, int at) {
        return plane == null || Float.isFinite(plane[at]);
    }

    private static boolean finiteOrNaN(float[] plane, int at) {
        return plane == null || !Float.isInfinite(plane[at]);
    }

    private static boolean precise(float[] plane, int at) {
        return plane == null || plane[at] > 0 && Float.isFinite(plane[at]);
    }
}
