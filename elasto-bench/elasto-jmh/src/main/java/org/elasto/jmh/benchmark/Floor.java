package org.elasto.jmh.benchmark;

import org.elasto.api.Workers;

/**
 * The least that any tracker must do: one pass that reads two frames of 16-bit integers, converts
 * them, and writes one plane of complex floats. Times are given as multiples of it, so that they
 * can be compared between machines and between a quiet and a busy hour of one machine.
 *
 * <p>One thread at a time; allocates nothing once made.
 */
public final class Floor {

    private final int lines;
    private final int samples;
    private final short[] first;
    private final short[] second;
    private final float[] re;
    private final float[] im;
    private final Workers workers;
    private final Workers.Task task = (line, worker) -> line(line);

    /**
     * For frames of one size.
     *
     * @param lines number of lines
     * @param samples samples a line
     * @param workers threads it may use
     */
    public Floor(int lines, int samples, Workers workers) {
        this.lines = lines;
        this.samples = samples;
        this.workers = workers;
        first = new short[lines * samples];
        second = new short[lines * samples];
        re = new float[lines * samples];
        im = new float[lines * samples];
        for (int i = 0; i < first.length; i++) {
            first[i] = (short) (i * 31);
            second[i] = (short) (i * 37);
        }
    }

    /**
     * One pass.
     *
     * @return the real part, so that the work is not in vain
     */
    public float[] pass() {
        workers.run(lines, task);
        return re;
    }

    private void line(int line) {
        short[] a = first;
        short[] b = second;
        float[] x = re;
        float[] y = im;
        int from = line * samples;
        int to = from + samples;
        for (int i = from; i < to; i++) {
            x[i] = a[i];
            y[i] = b[i];
        }
    }
}
