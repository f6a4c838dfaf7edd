package org.elasto.strain.live;

import java.util.Arrays;
import org.elasto.api.RowGrid;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;

/**
 * Average of relative strain over time, in the place of the tissue, weighted by predicted precision
 * and by age: a pair counts half after one half-life. What is known of a place counts half after
 * each pair that does not know it, so that bone or lifted lines are blank after a few frames.
 *
 * <p>One thread at a time; allocates nothing after it is made; does not depend on the workers.
 */
final class TimeAverage {

    /** Tissue may be that much higher or lower than when the path began. */
    private static final double MARGIN = 3e-3;

    /** Smallest deviation of relative strain that is believed: precision nobody has. */
    private static final float LEAST_DEVIATION = 0.02f;

    /** What is left of a place's weight after a pair that does not know it. */
    private static final float FADING = 0.5f;

    private static final double SMALLEST_SCALE = 1e-9;

    /** Stands for the deviation of what is not known: far above any, and weighs nothing. */
    private static final float UNKNOWN = 1e30f;

    private static final float LARGEST_KNOWN = 1e25f;

    /** Lines that are worked on at once: one is too short for loops to get going. */
    private static final int BLOCK = 8;

    private double halfLife;
    private final double limit;
    private final Workers workers;
    private final MotionScout scout;
    private final TissuePath path;
    private final RowGrid now;
    private final RowGrid then;
    private final int lines;
    private final int[] groupOfLine;
    private final float[] shareOfNext;
    private final float[][] places;
    private final float[][] origins;
    private final float[] weight;
    private final float[] sum;
    private final Workspace[] workspaces;
    private final Workers.Task addBlock = this::addBlock;
    private final Workers.Task readBlock = this::readBlock;

    /** Weights are stored divided by this, so that ageing costs nothing. */
    private double scale = 1;

    private boolean empty = true;

    // Arguments of the call under way.
    private RelativePlanes image;
    private float gain;
    private float readScale;

    TimeAverage(
            StrainLayout layout,
            MotionScout scout,
            TissuePath path,
            double halfLife,
            double deviationLimit,
            Workers workers) {
        this.halfLife = halfLife;
        this.limit = deviationLimit;
        this.workers = workers;
        this.scout = scout;
        this.path = path;
        now = layout.grid();
        int margin = (int) Math.ceil(MARGIN / now.spacing());
        int above = Math.min(margin, (int) (now.firstDepth() / now.spacing()));
        then =
                new RowGrid(
                        above + now.rows() + margin,
                        Math.max(0, now.firstDepth() - above * now.spacing()),
                        now.spacing());
        lines = layout.geometry().lines();
        places = new float[scout.groups()][then.rows()];
        origins = new float[scout.groups()][now.rows()];
        groupOfLine = new int[lines];
        shareOfNext = new float[lines];
        for (int line = 0; line < lines; line++) {
            int g = 0;
            while (g < scout.groups() - 2 && scout.lineOfGroup(g + 1) < line) {
                g++;
            }
            groupOfLine[line] = g;
            if (scout.groups() > 1) {
                double from = scout.lineOfGroup(g);
                double share = (line - from) / (scout.lineOfGroup(g + 1) - from);
                shareOfNext[line] = (float) Math.max(0, Math.min(1, share));
            }
        }
        weight = new float[lines * then.rows()];
        sum = new float[lines * then.rows()];
        workspaces = new Workspace[workers.count()];
        Arrays.setAll(workspaces, i -> new Workspace(now.rows(), then.rows()));
    }

    /** What a worker needs for a block of lines. */
    private static final class Workspace {

        final PlacedRows intoAverage;
        final PlacedRows outOfAverage;

        // Of the rows of an image.
        final float[] seen;
        final float[] noise;

        // Of the rows of an image or of the average.
        final float[] value;
        final float[] deviation;
        final float[] known;
        final float[] weight;
        final float[] sum;

        Workspace(int now, int then) {
            intoAverage = new PlacedRows(BLOCK, then, now);
            outOfAverage = new PlacedRows(BLOCK, now, then);
            seen = new float[BLOCK * now];
            noise = new float[BLOCK * now];
            value = new float[BLOCK * then];
            deviation = new float[BLOCK * then];
            known = new float[BLOCK * then];
            weight = new float[BLOCK * then];
            sum = new float[BLOCK * then];
        }
    }

    /** The rows at which the average is kept. */
    RowGrid grid() {
        return then;
    }

    /** From now on a pair counts half after that time (s); 0 for no average. */
    void setHalfLife(double seconds) {
        halfLife = seconds;
    }

    /** Forgets everything. */
    void clear() {
        if (!empty) {
            Arrays.fill(weight, 0f);
            Arrays.fill(sum, 0f);
        }
        empty = true;
        scale = 1;
    }

    /** Lets time pass. */
    void age(double seconds) {
        if (empty) {
            return;
        }
        if (halfLife == 0) {
            clear();
            return;
        }
        scale *= Math.pow(0.5, Math.max(0, seconds) / halfLife);
        if (scale < SMALLEST_SCALE) {
            float factor = (float) scale;
            for (int i = 0; i < weight.length; i++) {
                weight[i] *= factor;
                sum[i] *= factor;
            }
            scale = 1;
        }
    }

    /** Follows tissue that has moved by whole lines since the last call. */
    void followSideways() {
        int pitches = path.takeLines();
        if (pitches == 0 || empty) {
            return;
        }
        if (Math.abs(pitches) >= lines) {
            clear();
            return;
        }
        shift(weight, pitches * then.rows());
        shift(sum, pitches * then.rows());
    }

    private static void shift(float[] plane, int by) {
        if (by > 0) {
            System.arraycopy(plane, 0, plane, by, plane.length - by);
            Arrays.fill(plane, 0, by, 0f);
        } else {
            System.arraycopy(plane, -by, plane, 0, plane.length + by);
            Arrays.fill(plane, plane.length + by, plane.length, 0f);
        }
    }

    /** Adds an image: relative strain in the places of the newest frame. */
    void add(RelativePlanes newImage) {
        image = newImage;
        gain = (float) (1 / scale);
        for (int g = 0; g < scout.groups(); g++) {
            path.places(g, then, now, places[g]);
        }
        workers.run(blocks(), addBlock);
        empty = false;
        image = null;
    }

    private int blocks() {
        return (lines + BLOCK - 1) / BLOCK;
    }

    private int linesOf(int block) {
        return Math.min(BLOCK, lines - block * BLOCK);
    }

    private void addBlock(int block, int worker) {
        Workspace w = workspaces[worker];
        int here = linesOf(block);
        takeIn(block * BLOCK * now.rows(), here * now.rows(), w.seen, w.noise);
        PlacedRows rows = w.intoAverage;
        place(rows, places, block);
        rows.copy(w.seen, 0, 0);
        rows.interpolate(w.value);
        rows.copy(w.noise, 0, UNKNOWN);
        rows.interpolate(w.deviation);
        int count = here * then.rows();
        int to = block * BLOCK * then.rows();
        areKnown(w.known, rows.above, rows.below, count);
        toWeights(w.deviation, w.known, gain, count);
        System.arraycopy(weight, to, w.weight, 0, count);
        System.arraycopy(sum, to, w.sum, 0, count);
        fade(w.weight, w.sum, w.known, count);
        add(w.weight, w.sum, w.deviation, w.value, count);
        System.arraycopy(w.weight, 0, weight, to, count);
        System.arraycopy(w.sum, 0, sum, to, count);
    }

    /** Sets the places of a block of lines, between those of the groups to either side. */
    private void place(PlacedRows rows, float[][] ofGroups, int block) {
        rows.clear();
        int first = block * BLOCK;
        for (int line = first; line < first + linesOf(block); line++) {
            int group = groupOfLine[line];
            float[] next = ofGroups[Math.min(group + 1, ofGroups.length - 1)];
            rows.place(ofGroups[group], next, shareOfNext[line]);
        }
    }

    /** Lines of the image without what is not known. */
    private void takeIn(int from, int count, float[] seen, float[] noise) {
        System.arraycopy(image.relative(), from, seen, 0, count);
        System.arraycopy(image.deviation(), from, noise, 0, count);
        boolean[] known = image.trusted();
        for (int i = 0; i < count; i++) {
            if (!known[from + i]) {
                seen[i] = 0;
                noise[i] = UNKNOWN;
            }
        }
    }

    /** 1 where both deviations are known, 0 elsewhere. */
    private static void areKnown(float[] out, float[] a, float[] b, int n) {
        for (int i = 0; i < n; i++) {
            out[i] = Math.max(0, Math.min(1, LARGEST_KNOWN - Math.max(a[i], b[i])));
        }
    }

    private static void toWeights(float[] deviation, float[] known, float gain, int n) {
        for (int i = 0; i < n; i++) {
            float s = Math.max(deviation[i], LEAST_DEVIATION);
            deviation[i] = known[i] * (gain / (s * s));
        }
    }

    private static void fade(float[] weight, float[] sum, float[] known, int n) {
        for (int i = 0; i < n; i++) {
            float left = FADING + (1 - FADING) * known[i];
            weight[i] *= left;
            sum[i] *= left;
        }
    }

    private static void add(float[] weight, float[] sum, float[] w, float[] value, int n) {
        for (int i = 0; i < n; i++) {
            weight[i] += w[i];
            sum[i] += w[i] * value[i];
        }
    }

    /** Writes what is known, in the places of the newest frame. */
    void read(RelativePlanes into) {
        if (empty) {
            into.clear();
            return;
        }
        image = into;
        readScale = (float) scale;
        for (int g = 0; g < scout.groups(); g++) {
            path.origins(g, now, then, origins[g]);
        }
        workers.run(blocks(), readBlock);
        image = null;
    }

    private void readBlock(int block, int worker) {
        Workspace w = workspaces[worker];
        PlacedRows rows = w.outOfAverage;
        place(rows, origins, block);
        int from = block * BLOCK * then.rows();
        rows.copy(sum, from, 0);
        rows.interpolate(w.value);
        rows.copy(weight, from, 0);
        rows.interpolate(w.weight);
        int count = linesOf(block) * now.rows();
        // As weights are stored.
        float least = (float) (1 / (limit * limit)) / readScale;
        areEnough(w.known, w.weight, rows.above, rows.below, least, count);
        divide(w.value, w.weight, count);
        toDeviation(w.weight, readScale, count);
        write(w, block * BLOCK * now.rows(), count);
    }

    private void write(Workspace w, int to, int count) {
        float[] value = image.relative();
        float[] deviation = image.deviation();
        boolean[] trusted = image.trusted();
        System.arraycopy(w.value, 0, value, to, count);
        System.arraycopy(w.weight, 0, deviation, to, count);
        float[] enough = w.known;
        for (int i = 0; i < count; i++) {
            boolean known = enough[i] >= 0;
            trusted[to + i] = known;
            if (!known) {
                value[to + i] = Float.NaN;
                deviation[to + i] = Float.NaN;
            }
        }
    }

    /** 0 or more where both weights are above 0, and what lies between is enough and finite. */
    private static void areEnough(
            float[] out, float[] weight, float[] a, float[] b, float least, int n) {
        for (int i = 0; i < n; i++) {
            float both = Math.min(a[i], b[i]) - Float.MIN_VALUE;
            // 0 times a finite value is 0, times anything else NaN.
            out[i] = Math.min(weight[i] - least, both) + 0 * weight[i];
        }
    }

    private static void divide(float[] sum, float[] weight, int n) {
        for (int i = 0; i < n; i++) {
            sum[i] /= weight[i];
        }
    }

    private static void toDeviation(float[] weight, float scaled, int n) {
        for (int i = 0; i < n; i++) {
            weight[i] = 1 / (float) Math.sqrt(weight[i] * scaled);
        }
    }
}
