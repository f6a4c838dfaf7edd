package org.elasto.tracking.dynamicprogramming;

/**
 * Dynamic programming over the depth: the sequence of lags, one for each block, with the greatest
 * sum of likelihood less the price of the changes from block to block.
 *
 * <p>A change costs in proportion to its size, the axial and the lateral part added, and never more
 * than a jump. With such a price the best predecessor of all lags is found in a few passes over
 * them, a min-convolution (Felzenszwalb and Huttenlocher, Theory of Computing 8:415-428, 2012; from
 * memory), so that cost is linear in the number of lags.
 *
 * <p>Workspace of one worker; a call allocates nothing.
 */
final class LagPath {

    private final int axialLags;
    private final int lateralLags;
    private final int lags;
    private final float axialPrice;
    private final float lateralPrice;
    private final float jumpPrice;
    private final float[] score;
    private final short[] from;
    private final short[] links;

    /**
     * Makes a path finder.
     *
     * @param axialLags axial lags
     * @param lateralLags lateral lags
     * @param blocks greatest number of blocks
     * @param axialPrice price of an axial change by one lag
     * @param lateralPrice price of a lateral change by one lag
     * @param jumpPrice price that no change exceeds
     */
    LagPath(
            int axialLags,
            int lateralLags,
            int blocks,
            float axialPrice,
            float lateralPrice,
            float jumpPrice) {
        this.axialLags = axialLags;
        this.lateralLags = lateralLags;
        this.axialPrice = axialPrice;
        this.lateralPrice = lateralPrice;
        this.jumpPrice = jumpPrice;
        lags = axialLags * lateralLags;
        score = new float[lags];
        from = new short[lags];
        links = new short[blocks * lags];
    }

    /**
     * Finds the best path.
     *
     * @param gain likelihood of each lag of each block, {@code first + block * lags + lag}
     * @param first where the first block begins
     * @param blocks number of blocks
     * @param zeroLag lag that is taken where all are equally good
     * @param path receives the lag of each block
     * @return the path's sum of likelihoods less prices
     */
    float find(float[] gain, int first, int blocks, int zeroLag, int[] path) {
        System.arraycopy(gain, first, score, 0, lags);
        for (int block = 1; block < blocks; block++) {
            spread(score, from, axialPrice, lateralPrice);
            System.arraycopy(from, 0, links, block * lags, lags);
            int at = first + block * lags;
            for (int lag = 0; lag < lags; lag++) {
                score[lag] += gain[at + lag];
            }
        }
        int best = zeroLag;
        for (int lag = 0; lag < lags; lag++) {
            if (score[lag] > score[best]) {
                best = lag;
            }
        }
        float total = score[best];
        for (int block = blocks - 1; block >= 0; block--) {
            path[block] = best;
            best = block > 0 ? links[block * lags + best] : best;
        }
        return total;
    }

    /**
     * Replaces the value of each lag by the best of all lags' values less the price of getting from
     * there to here.
     *
     * @param value value of each lag, replaced
     * @param origin receives the lag from which each new value comes; null if not wanted
     * @param axial price of an axial change by one lag
     * @param lateral price of a lateral change by one lag
     */
    void spread(float[] value, short[] origin, float axial, float lateral) {
        int greatest = 0;
        for (int lag = 1; lag < lags; lag++) {
            if (value[lag] > value[greatest]) {
                greatest = lag;
            }
        }
        float jump = value[greatest] - jumpPrice;
        if (origin != null) {
            for (int lag = 0; lag < lags; lag++) {
                origin[lag] = (short) lag;
            }
        }
        for (int m = 0; m < lateralLags; m++) {
            int row = m * axialLags;
            for (int k = row + 1; k < row + axialLags; k++) {
                relax(value, origin, k, k - 1, axial);
            }
            for (int k = row + axialLags - 2; k >= row; k--) {
                relax(value, origin, k, k + 1, axial);
            }
        }
        for (int lag = axialLags; lag < lags; lag++) {
            relax(value, origin, lag, lag - axialLags, lateral);
        }
        for (int lag = lags - axialLags - 1; lag >= 0; lag--) {
            relax(value, origin, lag, lag + axialLags, lateral);
        }
        for (int lag = 0; lag < lags; lag++) {
            if (jump > value[lag]) {
                value[lag] = jump;
                if (origin != null) {
                    origin[lag] = (short) greatest;
                }
            }
        }
    }

    private static void relax(float[] value, short[] origin, int to, int from, float price) {
        float moved = value[from] - price;
        if (moved > value[to]) {
            value[to] = moved;
            if (origin != null) {
                origin[to] = origin[from];
            }
        }
    }
}
