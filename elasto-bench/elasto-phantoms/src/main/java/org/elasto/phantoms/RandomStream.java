package org.elasto.phantoms;

/**
 * Random numbers that can be started anywhere: SplitMix64 (Steele, Lea and Flood, Fast splittable
 * pseudorandom number generators, OOPSLA 2014), with Marsaglia's polar method for the normal law.
 * Written out because frames must be the same bits on every Java release. One thread at a time.
 */
final class RandomStream {

    private static final long STEP = 0x9E3779B97F4A7C15L;

    private long state;
    private double spare;
    private boolean hasSpare;

    /** Begins the stream that belongs to a key. */
    RandomStream(long key) {
        restart(key);
    }

    void restart(long key) {
        state = key;
        hasSpare = false;
    }

    /** A key made of several numbers, each of which changes it altogether. */
    static long key(long seed, long a, long b) {
        return mix(mix(mix(seed + STEP) ^ (a + 0x632BE59BD9B4E019L)) ^ (b + 0xD1B54A32D192ED03L));
    }

    static long mix(long value) {
        long z = (value ^ (value >>> 30)) * 0xBF58476D1CE4E5B9L;
        z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
        return z ^ (z >>> 31);
    }

    /** Uniform from 0 to below 1. */
    double uniform() {
        state += STEP;
        return (mix(state) >>> 11) * 0x1.0p-53;
    }

    /** Normal with mean 0 and deviation 1. */
    double gaussian() {
        if (hasSpare) {
            hasSpare = false;
            return spare;
        }
        double a;
        double b;
        double s;
        do {
            a = 2 * uniform() - 1;
            b = 2 * uniform() - 1;
            s = a * a + b * b;
        } while (s >= 1 || s == 0);
        double scale = Math.sqrt(-2 * StrictMath.log(s) / s);
        spare = b * scale;
        hasSpare = true;
        return a * scale;
    }
}
