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

    /** For codes of so many octaves. */
    LevelHistogram(int octaves) {
        counts = new int[octaves << PLACE_BITS];
    }

    void clear() {
        Arrays.fill(counts, 0);
    }

    /** Counts codes. */
    void add(int[] codes, int from, int to) {
        int[] places = counts;
        for (int i = from; i < to; i++) {
            places[codes[i] >>> SHIFT]++;
        }
    }

    /** Adds the counts of another one of as many octaves. */
    void add(LevelHistogram other) {
        int[] sum = counts;
        int[] more = other.counts;
        for (int i = 0; i < sum.length; i++) {
            sum[i] += more[i];
        }
    }

    /** The level (dB) that a share of all do not exceed; NaN if there are none. */
    double of(double share) {
        counts[Decibels.SILENCE] = 0;
        long all = 0;
        for (int from = 0; from < counts.length; from += PLACES) {
            all += octave(from);
        }
        if (all == 0) {
            return Double.NaN;
        }
        long wanted = Math.max(1, Math.min(all, (long) Math.ceil(share * all)));
        long below = 0;
        int place = 0;
        // By octaves first; most of them are empty.
        for (int here = octave(0); below + here < wanted; here = octave(place)) {
            below += here;
            place += PLACES;
        }
        while (below + counts[place] < wanted) {
            below += counts[place++];
        }
        double within = (wanted - below - 0.5) / counts[place];
        return Decibels.ofCode((int) ((place + within) * (1 << SHIFT)));
    }

    private int octave(int from) {
        int sum = 0;
        for (int i = from; i < from + PLACES; i++) {
            sum += counts[i];
        }
        return sum;
    }
}
