package org.elasto.strain.live;

import java.util.Arrays;
import java.util.List;
import java.util.function.Consumer;
import java.util.stream.IntStream;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
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

    /** What is done beside the metrics, among the jobs. */
    private static final int BESIDE = -1;

    private final List<Entry> entries;
    private final Workers workers;

    /**
     * What is done by one worker each: numbers of the entries that the session has made, and {@link
     * #BESIDE}. What took longest in the last call comes first, so that none ends late.
     */
    private final int[] jobs;

    /** How long each job took in the last call, from {@link #BESIDE} on. */
    private final long[] nanos;

    /** Numbers of the other entries. */
    private final int[] handedIn;

    private final Throwable[] failures;
    private final Consumer<StrainImage> beside;
    private final Workers.Task doJob = this::doJob;

    /** Whether what metrics remember still has to do with what is seen now. */
    private boolean remember;

    // Arguments of the call under way.
    private RfFrame reference;
    private RfFrame moved;
    private DisplacementField field;
    private LiveImage out;

    /**
     * Makes a session's metrics.
     *
     * @param entries the metrics
     * @param beside what else there is to do with the strain, on one thread
     * @param workers threads to use
     */
    SessionMetrics(List<Entry> entries, Consumer<StrainImage> beside, Workers workers) {
        this.entries = entries;
        this.beside = beside;
        this.workers = workers;
        failures = new Throwable[entries.size()];
        jobs =
                IntStream.range(BESIDE, entries.size())
                        .filter(i -> i == BESIDE || entries.get(i).isOwn())
                        .toArray();
        nanos = new long[1 + entries.size()];
        handedIn =
                IntStream.range(0, entries.size()).filter(i -> !entries.get(i).isOwn()).toArray();
    }

    /** The next pair has nothing to do with those before. */
    void forget() {
        remember = false;
    }

    /**
     * Does what there is to do beside, and writes scores and maps; a metric that fails costs its
     * own score, not the frame.
     */
    void judge(
            RfFrame newReference, RfFrame newMoved, DisplacementField newField, LiveImage image) {
        reference = newReference;
        moved = newMoved;
        field = newField;
        out = image;
        Arrays.fill(failures, null);
        sortJobs();
        workers.run(jobs.length, doJob);
        for (int i : handedIn) {
            judge(i);
        }
        remember = true;
        reference = null;
        moved = null;
        field = null;
        out = null;
    }

    /** By insertion: the order hardly changes from call to call. */
    private void sortJobs() {
        for (int i = 1; i < jobs.length; i++) {
            int job = jobs[i];
            int at = i;
            for (; at > 0 && took(jobs[at - 1]) < took(job); at--) {
                jobs[at] = jobs[at - 1];
            }
            jobs[at] = job;
        }
    }

    private void doJob(int task, int worker) {
        int job = jobs[task];
        long start = System.nanoTime();
        if (job == BESIDE) {
            beside.accept(out.strain());
        } else {
            judge(job);
        }
        nanos[job - BESIDE] = System.nanoTime() - start;
    }

    private long took(int job) {
        return nanos[job - BESIDE];
    }

    private void judge(int i) {
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
