package org.elasto.samples.live;

/** What the strip shows: the last seconds, image by image. Thread-safe. */
final class History {

    /** Images that are kept. */
    static final int LENGTH = 300;

    /** Seconds that are shown. */
    static final double SECONDS = 6;

    private final double[] seconds = new double[LENGTH];
    private final float[] strain = new float[LENGTH];
    private final float[] score = new float[LENGTH];
    private final boolean[] compared = new boolean[LENGTH];
    private int count;
    private int next;

    synchronized void add(Seen seen) {
        seconds[next] = seen.frame() * Player.PERIOD_NANOS * 1e-9;
        strain[next] = (float) seen.strainSinceLast();
        score[next] = (float) seen.score();
        compared[next] = seen.compared();
        next = (next + 1) % LENGTH;
        count = Math.min(LENGTH, count + 1);
    }

    /** Receives one image's entry. */
    interface Reader {
        void read(double secondsAgo, float strain, float score, boolean compared);
    }

    /** Reads all entries, oldest first. */
    synchronized void read(Reader reader) {
        if (count == 0) {
            return;
        }
        double now = seconds[(next + LENGTH - 1) % LENGTH];
        for (int i = 0; i < count; i++) {
            int at = (next - count + i + LENGTH) % LENGTH;
            reader.read(now - seconds[at], strain[at], score[at], compared[at]);
        }
    }
}
