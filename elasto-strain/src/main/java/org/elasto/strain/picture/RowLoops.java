package org.elasto.strain.picture;

/**
 * Loops over rows of whole numbers, so short that HotSpot 17 makes vector instructions of them: of
 * interpolation and colours in integers it does, of a conversion from float for every pixel never.
 */
final class RowLoops {

    private RowLoops() {}

    /** Interpolates between two rows; numbers of any sign that are a bit shorter than the place. */
    static void between(int[] above, int[] below, int bits, float along, int[] value, int n) {
        int place = Math.round(along * (1 << bits));
        for (int i = 0; i < n; i++) {
            value[i] = (above[i] << bits) + (below[i] - above[i]) * place >> bits;
        }
    }

    /**
     * Packs what stands on each line with what stands on the next one, 16 bits each.
     *
     * @param value receives the pairs
     * @param next room for as many
     */
    static void pairUp(int[] value, int[] next, int lines) {
        toNext(value, next, lines);
        for (int i = 0; i < lines; i++) {
            value[i] = value[i] << 16 | next[i] & 0xffff;
        }
    }

    /** For every line what stands on the next one; the last line is its own neighbour. */
    static void toNext(int[] value, int[] next, int lines) {
        System.arraycopy(value, 1, next, 0, lines - 1);
        next[lines - 1] = value[lines - 1];
    }

    static void add(int[] sum, int[] value, int n) {
        for (int i = 0; i < n; i++) {
            sum[i] += value[i];
        }
    }

    static void pick(int[] from, int[] at, int[] to, int n) {
        for (int x = 0; x < n; x++) {
            to[x] = from[at[x]];
        }
    }
}
