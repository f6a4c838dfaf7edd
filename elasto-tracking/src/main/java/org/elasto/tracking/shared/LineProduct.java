package org.elasto.tracking.shared;

/**
 * Products of complex lines, sample by sample. All arrays are given with the index of their first
 * element. Stateless and thread-safe.
 */
public final class LineProduct {

    private LineProduct() {}

    /**
     * Conjugate of one line times another.
     *
     * @param aRe real part of the line that is conjugated
     * @param aIm its imaginary part
     * @param a index of its first element
     * @param bRe real part of the other line
     * @param bIm its imaginary part
     * @param b index of its first element
     * @param outRe receives the real part of the product
     * @param outIm receives the imaginary part
     * @param to index of its first element
     * @param n elements
     */
    public static void conjugate(
            float[] aRe,
            float[] aIm,
            int a,
            float[] bRe,
            float[] bIm,
            int b,
            float[] outRe,
            float[] outIm,
            int to,
            int n) {
        for (int k = 0; k < n; k++) {
            float ar = aRe[a + k];
            float ai = aIm[a + k];
            float br = bRe[b + k];
            float bi = bIm[b + k];
            outRe[to + k] = ar * br + ai * bi;
            outIm[to + k] = ar * bi - ai * br;
        }
    }

    /**
     * Squared magnitude of a line.
     *
     * @param re real part
     * @param im imaginary part
     * @param at index of its first element
     * @param out receives the squared magnitude
     * @param to index of its first element
     * @param n elements
     */
    public static void squaredMagnitude(
            float[] re, float[] im, int at, float[] out, int to, int n) {
        for (int k = 0; k < n; k++) {
            out[to + k] = re[at + k] * re[at + k] + im[at + k] * im[at + k];
        }
    }

    /**
     * Adds the conjugate of a line times the same line one sample on, taken on either side of each
     * sample so that the sum belongs to that sample. The line needs one more element at either end.
     *
     * @param re real part
     * @param im imaginary part
     * @param at index of its first element
     * @param outRe the real part of the products is added to it
     * @param outIm the imaginary part is added to it
     * @param to index of its first element
     * @param n elements
     */
    public static void addNeighbours(
            float[] re, float[] im, int at, float[] outRe, float[] outIm, int to, int n) {
        for (int k = 0; k < n; k++) {
            int i = at + k;
            outRe[to + k] += re[i] * (re[i - 1] + re[i + 1]) + im[i] * (im[i - 1] + im[i + 1]);
            outIm[to + k] += re[i] * (im[i + 1] - im[i - 1]) - im[i] * (re[i + 1] - re[i - 1]);
        }
    }
}
