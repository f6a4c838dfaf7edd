package org.elasto.strain.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.apache.commons.math3.complex.Complex;

/** Sums of products in vector loops, some cells ahead, against plain ones of complex numbers. */
class CellSumsTest {

    private final Random random = new Random(11);

    private float[][] noise(int lines, int length) {
        float[][] x = new float[lines][length];
        for (float[] line : x) {
            for (int k = 0; k < length; k++) {
                line[k] = (float) random.nextGaussian();
            }
        }
        return x;
    }

    private static Complex at(float[][] re, float[][] im, int line, int k) {
        return new Complex(re[line][k], im[line][k]);
    }

    @Property(tries = 40, seed = "514")
    void areWhatPlainSumsGive(
            @ForAll @IntRange(min = 1, max = 40) int cells,
            @ForAll @IntRange(min = 1, max = 14) int cellSamples,
            @ForAll @IntRange(min = 0, max = 9) int rest,
            @ForAll @IntRange(min = 1, max = 3) int pairs,
            @ForAll @IntRange(min = 0, max = 1) int partner) {
        int length = cells * cellSamples + rest;
        int first = 2;
        int lines = first + pairs * (1 + partner);
        float[][] re = noise(lines, length);
        float[][] im = noise(lines, length);
        float[][] oldRe = noise(lines, length);
        float[][] oldIm = noise(lines, length);
        CellSums sums = new CellSums(cells, cellSamples, length, pairs, partner);
        // What was added up before leaves nothing behind.
        sums.begin(oldRe, oldIm, re, im, 0);
        sums.need(0, 0);
        sums.begin(re, im, oldRe, oldIm, first);
        int lag = 0;
        for (int cell = 0; cell < cells; cell++) {
            if (random.nextInt(4) == 0) {
                lag = random.nextInt(7) - 3;
            }
            int from = cell * cellSamples;
            if (from + lag < 0 || from + lag + cellSamples > length) {
                lag = 0;
            }
            sums.need(cell, lag);
            Complex same = Complex.ZERO;
            Complex up = Complex.ZERO;
            Complex down = Complex.ZERO;
            double later = 0;
            double earlier = 0;
            for (int i = 0; i < pairs; i++) {
                int line = first + i * (1 + partner);
                for (int k = from; k < from + cellSamples; k++) {
                    Complex a = at(re, im, line, k);
                    Complex b = at(re, im, line + partner, k);
                    Complex p = at(oldRe, oldIm, line, k + lag);
                    Complex q = at(oldRe, oldIm, line + partner, k + lag);
                    same = same.add(a.multiply(p.conjugate())).add(b.multiply(q.conjugate()));
                    up = up.add(a.multiply(q.conjugate()));
                    down = down.add(b.multiply(p.conjugate()));
                    later += a.abs() * a.abs() + b.abs() * b.abs();
                    earlier += p.abs() * p.abs() + q.abs() * q.abs();
                }
            }
            assertSum(same, sums, cell, CellSums.SAME);
            assertSum(up, sums, cell, CellSums.UP);
            assertSum(down, sums, cell, CellSums.DOWN);
            assertEquals(later, sums.of(cell, CellSums.LATER_POWER), 1e-4 * later);
            assertEquals(Math.sqrt(later * earlier), sums.power(cell), 1e-4 * later);
        }
    }

    private static void assertSum(Complex expected, CellSums sums, int cell, int which) {
        assertEquals(expected.getReal(), sums.of(cell, which), 1e-3);
        assertEquals(expected.getImaginary(), sums.of(cell, which + 1), 1e-3);
        assertEquals(expected.abs(), sums.size(cell, which), 1e-3);
        if (expected.abs() > 0.1) {
            double turn = sums.phase(cell, which) - expected.getArgument();
            assertEquals(1, Math.cos(turn), 1e-3);
        }
    }

    /** Likeness of neighbours over a cell and the two beside it, as far as there are any. */
    @Property(tries = 20, seed = "515")
    void neighboursAreComparedOverThreeCells(@ForAll @IntRange(min = 1, max = 9) int cells) {
        int cellSamples = 5;
        int length = cells * cellSamples + 2;
        float[][] re = noise(4, length);
        float[][] im = noise(4, length);
        CellSums sums = new CellSums(cells, cellSamples, length, 2, 1);
        sums.begin(re, im, re, im, 0);
        int compared = 0;
        for (int cell = 0; cell < cells; cell++) {
            Complex product = Complex.ZERO;
            double power = 0;
            int end = Math.min(length, (cell + 2) * cellSamples);
            for (int k = Math.max(0, (cell - 1) * cellSamples); k < end; k++) {
                for (int line = 0; line < 4; line += 2) {
                    Complex a = at(re, im, line, k);
                    Complex b = at(re, im, line + 1, k);
                    product = product.add(a.multiply(b.conjugate()));
                    power += a.abs() * a.abs() + b.abs() * b.abs();
                }
            }
            assertEquals(2 * product.abs() / power, sums.neighbours(cell), 1e-5);
            compared++;
        }
        assertTrue(compared > 0);
    }
}
