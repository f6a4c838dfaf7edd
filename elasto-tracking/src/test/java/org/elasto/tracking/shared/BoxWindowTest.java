package org.elasto.tracking.shared;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;

class BoxWindowTest {

    /**
     * Running sums against sums written out, for windows of all sizes, larger than the frame too.
     */
    @Property(seed = "51", tries = 200)
    void runningSumsAreSums(
            @ForAll @IntRange(min = 1, max = 12) int lines,
            @ForAll @IntRange(min = 1, max = 40) int samples,
            @ForAll @IntRange(min = 1, max = 60) int length,
            @ForAll @IntRange(min = 1, max = 15) int width,
            @ForAll long seed) {
        BoxWindow window = new BoxWindow(length, width, samples, lines);
        Random random = new Random(seed);
        float[] in = new float[lines * samples];
        for (int i = 0; i < in.length; i++) {
            in[i] = random.nextFloat() - 0.5f;
        }
        float[] along = new float[in.length];
        for (int line = 0; line < lines; line++) {
            window.sumAlong(in, line * samples, along, line * samples, samples);
        }
        int first = samples / 3;
        int n = samples - first;
        double[] sums = new double[n];
        int halfLength = window.length() / 2;
        int halfWidth = window.width() / 2;
        for (int line = 0; line < lines; line++) {
            window.slideAcross(along, samples, lines, line, first, n, sums);
            for (int k = 0; k < n; k++) {
                double expected = 0;
                for (int l = Math.max(0, line - halfWidth);
                        l <= Math.min(lines - 1, line + halfWidth);
                        l++) {
                    for (int m = Math.max(0, first + k - halfLength);
                            m <= Math.min(samples - 1, first + k + halfLength);
                            m++) {
                        expected += in[l * samples + m];
                    }
                }
                assertEquals(expected, sums[k], 1e-4);
            }
        }
    }
}
