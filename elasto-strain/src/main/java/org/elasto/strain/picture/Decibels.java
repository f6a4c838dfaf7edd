package org.elasto.strain.picture;

/**
 * Logarithms for pictures: quick, and exact to a ten-thousandth of a decibel, some hundred times
 * finer than a grey level.
 */
final class Decibels {

    /** Ten times the common logarithm of 2. */
    private static final float OF_TWO = 3.0102999566f;

    /** Ten times twice the common logarithm of e. */
    private static final float OF_E = 8.6858896381f;

    /** Bits of the square root of a half, where the mantissa is cut. */
    private static final int ROOT_OF_HALF = 0x3f3504f3;

    private Decibels() {}

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
