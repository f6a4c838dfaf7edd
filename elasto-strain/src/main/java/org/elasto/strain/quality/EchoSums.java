package org.elasto.strain.quality;

/**
 * Sums over a stretch of two lines of samples. Each is taken in four sums that do not wait for one
 * another, all in one pass, in which a sample is converted once; in double, so that those of
 * integers are exact and those of floats neither overflow nor vanish.
 *
 * <p>One thread at a time; a call allocates nothing.
 */
final class EchoSums {

    /** Mean of the sums of x[n]² and of x[n + lag]². */
    double squares;

    /** Sum of x[n] x[n + lag]. */
    double delayed;

    /** Sum of x[n] y[n], over the last samples of the stretch as well. */
    double across;

    /**
     * Adds up anew.
     *
     * @param x a line of samples
     * @param y another
     * @param from the first sample
     * @param count number of samples, more than the lag
     * @param lag distance of two samples whose product is taken; both lie in the stretch
     */
    void take(float[] x, float[] y, int from, int count, int lag) {
        double s0 = 0;
        double s1 = 0;
        double s2 = 0;
        double s3 = 0;
        double d0 = 0;
        double d1 = 0;
        double d2 = 0;
        double d3 = 0;
        double a0 = 0;
        double a1 = 0;
        double a2 = 0;
        double a3 = 0;
        int end = from + count - lag;
        int n = from;
        for (; n + 3 < end; n += 4) {
            double x0 = x[n];
            double x1 = x[n + 1];
            double x2 = x[n + 2];
            double x3 = x[n + 3];
            s0 += x0 * x0;
            s1 += x1 * x1;
            s2 += x2 * x2;
            s3 += x3 * x3;
            d0 += x0 * x[n + lag];
            d1 += x1 * x[n + lag + 1];
            d2 += x2 * x[n + lag + 2];
            d3 += x3 * x[n + lag + 3];
            a0 += x0 * y[n];
            a1 += x1 * y[n + 1];
            a2 += x2 * y[n + 2];
            a3 += x3 * y[n + 3];
        }
        for (; n < end; n++) {
            double x0 = x[n];
            s0 += x0 * x0;
            d0 += x0 * x[n + lag];
            a0 += x0 * y[n];
        }
        // What the delayed samples have more, and less.
        double more = 0;
        for (int k = 0; k < lag; k++) {
            double head = x[from + k];
            double tail = x[end + k];
            more += tail * tail - head * head;
            a0 += tail * y[end + k];
        }
        squares = s0 + s1 + (s2 + s3) + more / 2;
        delayed = d0 + d1 + (d2 + d3);
        across = a0 + a1 + (a2 + a3);
    }
}
