package org.elasto.strain.live;

import java.util.Arrays;
import java.util.List;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.Workers;
import org.elasto.api.plugin.QualityMetric;

/**
 * The quality metrics of a session. Those that the session has made run side by side, a worker to
 * each; those that somebody else has made may want the session's workers for themselves, and run
 * one after the other on its own thread.
 *
 * <p>One thread at a time; a call allocates nothing.
 */
final class SessionMetrics {

    /**
     * A metric of the session.
     *
     * @param name what to call it
     * @param metric the metric
     * @param isOwn whether the session has made it, without workers
     */
    record Entry(String name, QualityMetric metric, boolean isOwn) {}

    private final List<Entry> entries;
    private final Workers workers;

    /** Numbers of the entries: first those that the session has made, {@link #own} of them. */
    private final int[] order;

    private final int own;
    private final Throwable[] failures;
    private final Workers.Task judgeOwn = (task, worker) -> judge(task);

    /** Whether what metrics remember still has to do with what is seen now. */
    private boolean remember;

    // Arguments of the call under way.
    private RfFrame reference;
    private RfFrame moved;
    private DisplacementField field;
    private LiveImage out;

    SessionMetrics(List<Entry> entries, Workers workers) {
        this.entries = entries;
        this.workers = workers;
        failures = new Throwable[entries.size()];
        order = new int[entries.size()];
        int count = 0;
        for (int pass = 0; pass < 2; pass++) {
            for (int i = 0; i < order.length; i++) {
                if (entries.get(i).isOwn() == (pass == 0)) {
                    order[count++] = i;
                }
            }
        }
        own = (int) entries.stream().filter(Entry::isOwn).count();
    }

    /** The next pair has nothing to do with those before. */
    void forget() {
        remember = false;
    }

    /** Writes scores and maps; a metric that fails costs its own score, not the frame. */
    void judge(
            RfFrame newReference, RfFrame newMoved, DisplacementField newField, LiveImage image) {
        reference = newReference;
        moved = newMoved;
        field = newField;
        out = image;
        Arrays.fill(failures, null);
        workers.run(own, judgeOwn);
        for (int i = own; i < order.length; i++) {
            judge(i);
        }
        remember = true;
        reference = null;
        moved = null;
        field = null;
        out = null;
    }

    private void judge(int place) {
        int i = order[place];
        QualityMetric metric = entries.get(i).metric();
        try {
            if (!remember) {
                metric.reset();
            }
            double score = metric.score(reference, moved, field, out.strain(), out.map(i));
            Contract.checkScore(score);
            out.scores()[i] = score;
        } catch (RuntimeException | LinkageError | StackOverflowError | AssertionError e) {
            out.scores()[i] = Double.NaN;
            if (out.map(i) != null) {
                Arrays.fill(out.map(i), Float.NaN);
            }
            failures[i] = e;
        }
    }

    /** How many there are. */
    int count() {
        return entries.size();
    }

    /** What to call a metric, by its number in the order they were named in. */
    String name(int number) {
        return entries.get(number).name();
    }

    /** Whether a metric gives a map. */
    boolean hasMap(int number) {
        return entries.get(number).metric().hasMap();
    }

    /** What a metric threw in the last call; null if it did not. */
    Throwable failure(int number) {
        return failures[number];
    }
}
