package org.elasto.strain.quality;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.junit.jupiter.api.Test;

/** Sums over stretches of samples, against loops as they stand in the Javadoc. */
class EchoSumsTest {

    private static final int SAMPLES = 120;

    private static float[] line(Random random, double size, boolean whole) {
        float[] line = new float[SAMPLES];
        for (int n = 0; n < line.length; n++) {
            double value = size * random.nextGaussian();
            line[n] = (float) (whole ? Math.rint(value) : value);
        }
        return line;
    }

    private static double[] plain(float[] x, float[] y, int from, int count, int lag) {
        double squares = 0;
        double delayed = 0;
        double across = 0;
        for (int n = from; n < from + count - lag; n++) {
            squares += ((double) x[n] * x[n] + (double) x[n + lag] * x[n + lag]) / 2;
            delayed += (double) x[n] * x[n + lag];
        }
        for (int n = from; n < from + count; n++) {
            across += (double) x[n] * y[n];
        }
        return new double[] {squares, delayed, across};
    }

    @Property(tries = 100, seed = "61")
    void sumsAreThoseOfPlainLoops(
            @ForAll long seed,
            @ForAll @IntRange(min = 1, max = 9) int lag,
            @ForAll @IntRange(min = 1, max = 60) int pairs,
            @ForAll @IntRange(min = 0, max = 50) int from,
            @ForAll boolean whole) {
        Random random = new Random(seed);
        // Whole numbers add up exactly; floats of any size must neither overflow nor vanish.
        double size = whole ? 8000 : Math.pow(10, 60 * random.nextDouble() - 30);
        float[] x = line(random, size, whole);
        float[] y = line(random, size, whole);
        int count = pairs + lag;
        EchoSums sums = new EchoSums();
        sums.take(x, y, from, count, lag);
        double[] expected = plain(x, y, from, count, lag);
        double rounding = whole ? 0 : 1e-13 * count * size * size;
        assertEquals(expected[0], sums.squares, rounding);
        assertEquals(expected[1], sums.delayed, rounding);
        assertEquals(expected[2], sums.across, rounding);
    }

    /** Integers, up to the very ends of their range, give the same sums, and exactly. */
    @Property(tries = 100, seed = "62")
    void wholeSumsAreThose(
            @ForAll long seed,
            @ForAll @IntRange(min = 1, max = 9) int lag,
            @ForAll @IntRange(min = 1, max = 60) int pairs,
            @ForAll @IntRange(min = 0, max = 50) int from,
            @ForAll boolean clipped) {
        Random random = new Random(seed);
        RfFrame frame =
                RfFrame.allocate(
                        ScanGeometry.linear(3, SAMPLES, 40e6, 7.5e6, 1540, 0, 3e-4, 50),
                        SampleType.INT16);
        float[][] lines = new float[3][SAMPLES];
        for (int line = 0; line < 3; line++) {
            short[] values = new short[SAMPLES];
            for (int n = 0; n < SAMPLES; n++) {
                boolean low = clipped && random.nextInt(10) > 0;
                values[n] = low ? Short.MIN_VALUE : (short) random.nextInt();
                lines[line][n] = values[n];
            }
            frame.writeLine(line, values, 0);
        }
        WholeEchoSums whole = new WholeEchoSums(SAMPLES, lag);
        EchoSums sums = new EchoSums();
        whole.read(frame, 0);
        for (int line = 1; line < 3; line++) {
            whole.read(frame, line);
            whole.take(from, pairs + lag, sums);
            double[] expected = plain(lines[line], lines[line - 1], from, pairs + lag, lag);
            assertEquals(expected[0], sums.squares);
            assertEquals(expected[1], sums.delayed);
            assertEquals(expected[2], sums.across);
        }
    }

    @Test
    void whatIsNotFiniteShows() {
        for (float bad : new float[] {Float.NaN, Float.POSITIVE_INFINITY}) {
            for (int at : new int[] {10, 25, 49}) {
                float[] x = line(new Random(1), 100, true);
                x[at] = bad;
                EchoSums sums = new EchoSums();
                sums.take(x, x, 10, 40, 3);
                assertTrue(Double.isNaN(sums.delayed / sums.squares), bad + " at " + at);
            }
        }
    }
}
