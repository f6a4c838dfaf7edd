package org.elasto.strain.picture;

/**
 * Logarithms for pictures: quick, and exact to a ten-thousandth of a decibel, some hundred times
 * finer than a grey level.
 *
 * <p>Quicker still are codes: whole numbers that grow with power, 65536 for each octave, namely a
 * float's own exponent and the upper bits of its mantissa. They can be counted and looked up
 * without any logarithm.
 */
final class Decibels {

    /** Ten times the common logarithm of 2. */
    private static final float OF_TWO = 3.0102999566f;

    /** Ten times twice the common logarithm of e. */
    private static final float OF_E = 8.6858896381f;

    /** Bits of the square root of a half, where the mantissa is cut. */
    private static final int ROOT_OF_HALF = 0x3f3504f3;

    /** The code of silence, and of a power below the smallest normal float. */
    static final int SILENCE = 0;

    /** Bits of a code below the octave. */
    static final int OCTAVE_BITS = 16;

    /** Octaves of codes that floats make. */
    static final int OCTAVES = 256;

    /** The octave that begins with a power of 1. */
    static final int OCTAVE_OF_ONE = 127;

    private static final int CODE_SHIFT = 23 - OCTAVE_BITS;
    private static final int LOWEST = 1 << OCTAVE_BITS;

    private Decibels() {}

    /**
     * The codes of powers.
     *
     * @param power not negative
     * @param lift octaves to lift each by, as a code; silence stays silence
     * @param codes receives the codes
     * @param n how many
     */
    static void codes(float[] power, int[] lift, int[] codes, int n) {
        // Apart from the rest, which HotSpot then makes vector instructions of.
        for (int i = 0; i < n; i++) {
            codes[i] = Float.floatToRawIntBits(power[i]);
        }
        for (int i = 0; i < n; i++) {
            int code = codes[i] >>> CODE_SHIFT;
            codes[i] = code + lift[i] & LOWEST - 1 - code >> 31;
        }
    }

    /** Ten times the common logarithm of a code's power, to 1e-4; not of silence. */
    static float ofCode(int code) {
        int octave = (code >> OCTAVE_BITS) - OCTAVE_OF_ONE;
        int mantissa = (code & LOWEST - 1) << CODE_SHIFT | 1 << CODE_SHIFT - 1;
        int one = OCTAVE_OF_ONE << 23;
        return octave * OF_TWO + ofPower(Float.intBitsToFloat(one | mantissa));
    }

    /**
     * Ten times the common logarithm, by {@code ln m = 2 artanh((m - 1) / (m + 1))} of the mantissa
     * m, between the square roots of a half and of two, and the first three terms of the series of
     * artanh. What is left out is below {@code 8.7 * 0.1716^7 / 7}, 6e-6 dB; rounding to float is
     * more.
     *
     * @param power a normal number greater than 0
     */
    static float ofPower(float power) {
        int bits = Float.floatToRawIntBits(power);
        int exponent = (bits - ROOT_OF_HALF) >> 23;
        float mantissa = Float.intBitsToFloat(bits - (exponent << 23));
        float t = (mantissa - 1) / (mantissa + 1);
        float square = t * t;
        return exponent * OF_TWO + OF_E * t * (1 + square * (0.33333333f + square * 0.2f));
    }
}
