package org.elasto.strain.live;

import java.util.Arrays;

/**
 * Strain relative to its surroundings, line after line.
 *
 * @param relative 1 as the surroundings, less is stiffer; NaN where untrusted
 * @param deviation predicted standard deviation of it; NaN where untrusted
 * @param trusted where it can be trusted
 */
record RelativePlanes(float[] relative, float[] deviation, boolean[] trusted) {

    RelativePlanes(int size) {
        this(new float[size], new float[size], new boolean[size]);
    }

    /** Makes everything unknown. */
    void clear() {
        Arrays.fill(relative, Float.NaN);
        Arrays.fill(deviation, Float.NaN);
        Arrays.fill(trusted, false);
    }
}
