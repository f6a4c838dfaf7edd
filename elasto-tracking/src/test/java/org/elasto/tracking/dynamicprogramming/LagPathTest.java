package org.elasto.tracking.dynamicprogramming;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.FloatRange;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;

/** The min-convolution and the path against plain dynamic programming over all pairs of lags. */
class LagPathTest {

    /** Every predecessor of every lag is tried: cost grows with the square of the lags. */
    private static double plainBest(
            float[] gain, int axialLags, int lags, int blocks, float a, float l, float jump) {
        double[] score = new double[lags];
        for (int i = 0; i < lags; i++) {
            score[i] = gain[i];
        }
        for (int block = 1; block < blocks; block++) {
            double[] next = new double[lags];
            for (int to = 0; to < lags; to++) {
                double best = Double.NEGATIVE_INFINITY;
                for (int from = 0; from < lags; from++) {
                    best = Math.max(best, score[from] - price(from, to, axialLags, a, l, jump));
                }
                next[to] = best + gain[block * lags + to];
            }
            score = next;
        }
        double best = Double.NEGATIVE_INFINITY;
        for (double s : score) {
            best = Math.max(best, s);
        }
        return best;
    }

    private static double price(int from, int to, int axialLags, float a, float l, float jump) {
        double change =
                a * Math.abs(from % axialLags - to % axialLags)
                        + l * Math.abs(from / axialLags - to / axialLags);
        return Math.min(jump, change);
    }

    @Property(tries = 40, seed = "5")
    void thePathIsAsGoodAsThatOfAllPairs(
            @ForAll @IntRange(min = 1, max = 9) int axialLags,
            @ForAll @IntRange(min = 1, max = 5) int lateralLags,
            @ForAll @IntRange(min = 1, max = 12) int blocks,
            @ForAll @FloatRange(min = 0.01f, max = 4) float axialPrice,
            @ForAll @FloatRange(min = 0.01f, max = 4) float lateralPrice,
            @ForAll @FloatRange(min = 0.1f, max = 8) float jumpPrice,
            @ForAll long seed) {
        int lags = axialLags * lateralLags;
        Random random = new Random(seed);
        float[] gain = new float[3 + blocks * lags];
        for (int i = 0; i < gain.length; i++) {
            gain[i] = (float) (5 * random.nextDouble());
        }
        int[] path = new int[blocks];
        LagPath finder =
                new LagPath(axialLags, lateralLags, blocks, axialPrice, lateralPrice, jumpPrice);
        double total = finder.find(gain, 3, blocks, 0, path);

        float[] own = java.util.Arrays.copyOfRange(gain, 3, gain.length);
        double best = plainBest(own, axialLags, lags, blocks, axialPrice, lateralPrice, jumpPrice);
        double along = own[path[0]];
        for (int block = 1; block < blocks; block++) {
            along += own[block * lags + path[block]];
            along -=
                    price(
                            path[block - 1],
                            path[block],
                            axialLags,
                            axialPrice,
                            lateralPrice,
                            jumpPrice);
        }
        assertEquals(best, total, 1e-4 * blocks);
        assertEquals(best, along, 1e-4 * blocks);
    }

    @Test
    void aJumpIsPaidOnceAndALoneOutlierIsNotFollowed() {
        int lags = 41;
        int blocks = 20;
        float[] gain = new float[blocks * lags];
        for (int block = 0; block < blocks; block++) {
            gain[block * lags + (block < 10 ? 5 : 36)] = 3;
        }
        // One block alone says something else, but not loud enough for two jumps.
        gain[4 * lags + 30] = 9;
        int[] path = new int[blocks];
        float total = new LagPath(41, 1, blocks, 1, 1, 6).find(gain, 0, blocks, 20, path);
        int[] expected = new int[blocks];
        for (int block = 0; block < blocks; block++) {
            expected[block] = block < 10 ? 5 : 36;
        }
        assertArrayEquals(expected, path);
        assertEquals(20 * 3 - 6, total, 1e-4);
    }

    @Test
    void silenceMeansNoDisplacement() {
        int[] path = new int[4];
        new LagPath(5, 3, 4, 1, 1, 6).find(new float[60], 0, 4, 7, path);
        assertArrayEquals(new int[] {7, 7, 7, 7}, path);
    }
}
