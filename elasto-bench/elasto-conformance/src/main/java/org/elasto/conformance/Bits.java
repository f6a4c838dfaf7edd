package org.elasto.conformance;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;

/** Compares bit by bit; every NaN counts as the same. */
final class Bits {

    private Bits() {}

    /**
     * The first difference of two fields of one layout.
     *
     * @return what differs, or null
     */
    static String difference(DisplacementField a, DisplacementField b) {
        int rows = a.rows();
        String found = difference("axial displacement", a.axial(), b.axial(), rows);
        found = or(found, "correlation", a.correlation(), b.correlation(), rows);
        found = or(found, "axial deviation", a.axialDeviation(), b.axialDeviation(), rows);
        found = or(found, "lateral displacement", a.lateral(), b.lateral(), rows);
        return or(found, "lateral deviation", a.lateralDeviation(), b.lateralDeviation(), rows);
    }

    /**
     * The first difference of two images of one layout.
     *
     * @return what differs, or null
     */
    static String difference(StrainImage a, StrainImage b) {
        int rows = a.rows();
        String found = difference("axial strain", a.axial(), b.axial(), rows);
        found = or(found, "deviation", a.axialDeviation(), b.axialDeviation(), rows);
        found = or(found, "lateral strain", a.lateral(), b.lateral(), rows);
        found = or(found, "shear strain", a.shear(), b.shear(), rows);
        for (int i = 0; found == null && i < a.trusted().length; i++) {
            if (a.trusted()[i] != b.trusted()[i]) {
                found = "trust at " + FieldRules.place(i, rows) + " differs";
            }
        }
        return found;
    }

    private static String or(String found, String what, float[] a, float[] b, int rows) {
        return found != null ? found : difference(what, a, b, rows);
    }

    static String difference(String what, float[] a, float[] b, int rows) {
        if (a == null && b == null) {
            return null;
        }
        for (int i = 0; i < a.length; i++) {
            if (Float.floatToIntBits(a[i]) != Float.floatToIntBits(b[i])) {
                return what
                        + " at "
                        + FieldRules.place(i, rows)
                        + " is "
                        + a[i]
                        + " and then "
                        + b[i];
            }
        }
        return null;
    }

    static DisplacementField copy(DisplacementField field) {
        DisplacementField copy = new DisplacementField(field.layout());
        copyPlane(field.axial(), copy.axial());
        copyPlane(field.correlation(), copy.correlation());
        copyPlane(field.axialDeviation(), copy.axialDeviation());
        copyPlane(field.lateral(), copy.lateral());
        copyPlane(field.lateralDeviation(), copy.lateralDeviation());
        return copy;
    }

    static StrainImage copy(StrainImage image) {
        StrainImage copy = new StrainImage(image.layout());
        copyPlane(image.axial(), copy.axial());
        copyPlane(image.axialDeviation(), copy.axialDeviation());
        copyPlane(image.lateral(), copy.lateral());
        copyPlane(image.shear(), copy.shear());
        System.arraycopy(image.trusted(), 0, copy.trusted(), 0, image.trusted().length);
        return copy;
    }

    private static void copyPlane(float[] from, float[] to) {
        if (from != null) {
            System.arraycopy(from, 0, to, 0, from.length);
        }
    }

    /**
     * A sum over all samples that a change of any one of them changes.
     *
     * @param line memory for one line
     */
    static long checksum(RfFrame frame, float[] line) {
        long sum = frame.index() * 31 + frame.timeNanos();
        for (int l = 0; l < frame.geometry().lines(); l++) {
            frame.readLine(l, line, 0);
            sum = checksum(sum, line, frame.geometry().samples());
        }
        return sum;
    }

    static long checksum(DisplacementField field) {
        int n = field.axial().length;
        long sum = checksum(1, field.axial(), n);
        sum = checksum(sum, field.correlation(), n);
        sum = checksum(sum, field.axialDeviation(), n);
        if (field.lateral() != null) {
            sum = checksum(sum, field.lateral(), n);
            sum = checksum(sum, field.lateralDeviation(), n);
        }
        return sum;
    }

    private static long checksum(long start, float[] values, int n) {
        long sum = start;
        for (int i = 0; i < n; i++) {
            sum = 31 * sum + Float.floatToRawIntBits(values[i]);
        }
        return sum;
    }
}
