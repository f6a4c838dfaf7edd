package org.elasto.strain.live;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;

/**
 * What a plugin must not give, looked at in every frame so that no lie reaches the picture.
 *
 * <p>Places are looked through in loops that become vector code, which also find fault with what is
 * merely unknown; those with a fault are then looked at one by one. One thread at a time; a call
 * allocates nothing.
 */
final class Contract {

    private static final int CHUNK = 1024;

    /** Places that are passed over at once if none of them has a fault. */
    private static final int GROUP = 8;

    // Of a chunk.
    private final float[] values = new float[CHUNK];
    private final float[] deviations = new float[CHUNK];
    private final float[] correlations = new float[CHUNK];

    /** 0 where there is no fault, negative or NaN where there is one. */
    private final float[] faults = new float[CHUNK];

    void check(DisplacementField field) {
        float[] correlation = field.correlation();
        for (int from = 0; from < correlation.length; from += CHUNK) {
            int count = Math.min(CHUNK, correlation.length - from);
            System.arraycopy(correlation, from, correlations, 0, count);
            System.arraycopy(field.axial(), from, values, 0, count);
            System.arraycopy(field.axialDeviation(), from, deviations, 0, count);
            findFaults(faults, correlations, values, deviations, count);
            Arrays.fill(faults, count, CHUNK, 0);
            for (int i = nextFault(0); i < CHUNK; i = nextFault(i + 1)) {
                checkPlace(field, from + i);
            }
        }
    }

    private static void findFaults(
            float[] out, float[] correlation, float[] value, float[] deviation, int n) {
        for (int i = 0; i < n; i++) {
            float c = Math.min(correlation[i], 1 - correlation[i]);
            // 0 times a finite value is 0, times anything else NaN.
            out[i] = Math.min(0, Math.min(c, deviation[i])) + 0 * value[i];
        }
    }

    /** The first place from one on with a fault; the chunk's end if there is none. */
    private int nextFault(int from) {
        int i = from;
        while (i < CHUNK && !(faults[i] != 0)) {
            i += i % GROUP == 0 && !hasFault(i) ? GROUP : 1;
        }
        return i;
    }

    /** Whether any place of a group, by its first one, has a fault. */
    private boolean hasFault(int i) {
        float[] f = faults;
        float half = f[i] + f[i + 1] + (f[i + 2] + f[i + 3]);
        return half + (f[i + 4] + f[i + 5] + (f[i + 6] + f[i + 7])) != 0;
    }

    private static void checkPlace(DisplacementField field, int i) {
        float axial = field.axial()[i];
        float deviation = field.axialDeviation()[i];
        float c = field.correlation()[i];
        boolean known = c > 0;
        boolean sound = c >= 0 && c <= 1 && (!known || axial * 0 == 0 && deviation >= 0);
        if (!sound) {
            throw new IllegalStateException(
                    "displacement "
                            + axial
                            + " m with deviation "
                            + deviation
                            + " m and correlation "
                            + c
                            + " at place "
                            + i
                            + "; the correlation must be from 0 to 1, and where it is not 0"
                            + " the displacement finite and the deviation 0 or more");
        }
    }

    void check(StrainImage image) {
        int size = image.trusted().length;
        for (int from = 0; from < size; from += CHUNK) {
            int count = Math.min(CHUNK, size - from);
            System.arraycopy(image.axial(), from, values, 0, count);
            System.arraycopy(image.axialDeviation(), from, deviations, 0, count);
            findFaults(faults, values, deviations, count);
            Arrays.fill(faults, count, CHUNK, 0);
            for (int i = nextFault(0); i < CHUNK; i = nextFault(i + 1)) {
                checkPlace(image, from + i);
            }
        }
    }

    private static void findFaults(float[] out, float[] value, float[] deviation, int n) {
        for (int i = 0; i < n; i++) {
            out[i] = Math.min(0, deviation[i]) + 0 * deviation[i] + 0 * value[i];
        }
    }

    private static void checkPlace(StrainImage image, int i) {
        float axial = image.axial()[i];
        float deviation = image.axialDeviation()[i];
        boolean sound = axial * 0 == 0 && deviation >= 0 && deviation * 0 == 0;
        if (image.trusted()[i] && !sound) {
            throw new IllegalStateException(
                    "strain "
                            + axial
                            + " with deviation "
                            + deviation
                            + " is called trusted at place "
                            + i
                            + "; both must be finite, the deviation 0 or more");
        }
    }

    static void checkScore(double score) {
        if (!(score >= 0 && score <= 1) && !Double.isNaN(score)) {
            throw new IllegalStateException(
                    "score " + score + "; it must be from 0 to 1, or NaN for none");
        }
    }
}
