package org.elasto.strain.picture;

import java.util.Arrays;

/**
 * Counts levels in bins of a twentieth of a decibel and tells which level a share of them does not
 * exceed, to within a bin. The counts of several histograms can be added, in any order, without the
 * result depending on it. Not thread-safe.
 */
final class LevelHistogram {

    /** Below the logarithm of the smallest power that a float can hold, 1.4e-45. */
    private static final float LOWEST = -450;

    /** Above that of the largest, 3.4e38. */
    private static final float HIGHEST = 390;

    private static final float BINS_PER_DECIBEL = 20;

    private final int[] counts;

    /** For the levels of all powers, and more by a gain (dB). */
    LevelHistogram(double gain) {
        counts = new int[(int) Math.ceil((HIGHEST - LOWEST + gain) * BINS_PER_DECIBEL) + 1];
    }

    void clear() {
        Arrays.fill(counts, 0);
    }

    /** Counts levels (dB); infinitely low ones are left out, others are cut off at the ends. */
    void add(float[] levels, int from, int to) {
        int[] bins = counts;
        int last = bins.length - 1;
        for (int i = from; i < to; i++) {
            float level = levels[i];
            if (level > Float.NEGATIVE_INFINITY) {
                int bin = (int) ((level - LOWEST) * BINS_PER_DECIBEL);
                bins[Math.max(0, Math.min(last, bin))]++;
            }
        }
    }

    /** Adds the counts of another one of the same gain. */
    void add(LevelHistogram other) {
        for (int i = 0; i < counts.length; i++) {
            counts[i] += other.counts[i];
        }
    }

    /** The level that a share of all do not exceed; NaN if there are none. */
    double of(double share) {
        long all = 0;
        for (int count : counts) {
            all += count;
        }
        if (all == 0) {
            return Double.NaN;
        }
        long wanted = Math.max(1, Math.min(all, (long) Math.ceil(share * all)));
        long below = 0;
        int bin = 0;
        while (below + counts[bin] < wanted) {
            below += counts[bin++];
        }
        double within = (wanted - below - 0.5) / counts[bin];
        return LOWEST + (bin + within) / BINS_PER_DECIBEL;
    }
}
