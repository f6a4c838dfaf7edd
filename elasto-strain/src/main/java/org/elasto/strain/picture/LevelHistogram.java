package org.elasto.strain.picture;

import java.util.Arrays;

/**
 * Counts powers by their {@linkplain Decibels codes}, 128 places an octave, and tells which level a
 * share of them does not exceed, to within a place: 0.034 dB. Silence is left out. The counts of
 * several histograms can be added, in any order, without the result depending on it. Not
 * thread-safe.
 */
final class LevelHistogram {

    private static final int PLACE_BITS = 7;
    private static final int PLACES = 1 << PLACE_BITS;
    private static final int SHIFT = Decibels.OCTAVE_BITS - PLACE_BITS;

    private final int[] counts;

    /** How many there are in each octave; most octaves are empty. */
    private final int[] octaves;

    private int all;
    private boolean summedUp;

    /** For codes of so many octaves. */
    LevelHistogram(int octaves) {
        counts = new int[octaves << PLACE_BITS];
        this.octaves = new int[octaves];
    }

    void clear() {
        Arrays.fill(counts, 0);
        summedUp = false;
    }

    /** Counts every so many-th one of some codes. */
    void add(int[] codes, int count, int step) {
        int[] places = counts;
        for (int i = 0; i < count; i += step) {
            places[codes[i] >>> SHIFT]++;
        }
        summedUp = false;
    }

    /** Adds the counts of another one of as many octaves. */
    void add(LevelHistogram other) {
        int[] sum = counts;
        int[] more = other.counts;
        for (int i = 0; i < sum.length; i++) {
            sum[i] += more[i];
        }
        summedUp = false;
    }

    /** The level (dB) that a share of all do not exceed; NaN if there are none. */
    double of(double share) {
        if (!summedUp) {
            sumUp();
        }
        if (all == 0) {
            return Double.NaN;
        }
        int wanted = (int) Math.max(1, Math.min(all, Math.ceil(share * all)));
        int below = 0;
        int octave = 0;
        while (below + octaves[octave] < wanted) {
            below += octaves[octave++];
        }
        int place = octave * PLACES;
        while (below + counts[place] < wanted) {
            below += counts[place++];
        }
        double within = (wanted - below - 0.5) / counts[place];
        return Decibels.ofCode((int) ((place + within) * (1 << SHIFT)));
    }

    private void sumUp() {
        counts[Decibels.SILENCE] = 0;
        all = 0;
        for (int i = 0; i < octaves.length; i++) {
            int sum = 0;
            for (int place = i * PLACES; place < (i + 1) * PLACES; place++) {
                sum += counts[place];
            }
            octaves[i] = sum;
            all += sum;
        }
        summedUp = true;
    }
}
