package org.elasto.strain.quality;

import java.util.Arrays;
import org.elasto.api.RfFrame;

/**
 * The same as {@link EchoSums} for lines of 16-bit integers, exactly. Nothing is converted: the
 * products of a whole line are taken in pairs, which loops like these become vector code for.
 *
 * <p>One thread at a time; a call allocates nothing.
 */
final class WholeEchoSums {

    private final int lag;
    private final int count;

    /** The line read last and the one before. */
    private short[] line;

    private short[] before;

    /** The line read last, by so much earlier. */
    private final short[] delayed;

    // Products of samples 2n and 2n + 1, added up, less 1: from 2 (-32768)² nothing else is left.
    private final int[] squares;
    private final int[] delays;
    private final int[] across;

    /**
     * Makes room.
     *
     * @param count samples of a line
     * @param lag distance of two samples whose product is taken
     */
    WholeEchoSums(int count, int lag) {
        this.count = count;
        this.lag = lag;
        line = new short[count];
        before = new short[count];
        delayed = new short[count];
        squares = new int[count / 2];
        delays = new int[count / 2];
        across = new int[count / 2];
    }

    /** Reads a line; the one read last is from now on the one before. */
    void read(RfFrame frame, int number) {
        short[] next = before;
        before = line;
        line = next;
        frame.readLine(number, line, 0);
        System.arraycopy(line, lag, delayed, 0, Math.max(0, count - lag));
        multiply(squares, line, line, count / 2);
        multiply(delays, line, delayed, count / 2);
        multiply(across, line, before, count / 2);
    }

    private static void multiply(int[] out, short[] x, short[] y, int n) {
        Arrays.fill(out, -1);
        for (int i = 0; i < n; i++) {
            out[i] += x[2 * i] * y[2 * i] + x[2 * i + 1] * y[2 * i + 1];
        }
    }

    /**
     * Adds up a stretch of the line read last.
     *
     * @param from the first sample
     * @param length number of samples, more than the lag
     * @param into receives the sums
     */
    void take(int from, int length, EchoSums into) {
        int end = from + length;
        long ends = 0;
        for (int k = 0; k < lag; k++) {
            ends += line[from + k] * line[from + k];
            ends += line[end - lag + k] * line[end - lag + k];
        }
        into.squares = sum(squares, line, line, from, end) - ends / 2.0;
        into.delayed = sum(delays, line, delayed, from, end - lag);
        into.across = sum(across, line, before, from, end);
    }

    /** Adds up the pairs in a stretch, and what begins or ends in the middle of one. */
    private static long sum(int[] pairs, short[] x, short[] y, int from, int end) {
        int first = (from + 1) / 2;
        int last = end / 2;
        long sum = last - first;
        for (int i = first; i < last; i++) {
            sum += pairs[i];
        }
        if (from % 2 != 0) {
            sum += x[from] * y[from];
        }
        if (end % 2 != 0) {
            sum += x[end - 1] * y[end - 1];
        }
        return sum;
    }
}
