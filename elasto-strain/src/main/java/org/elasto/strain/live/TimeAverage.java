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
    private final Workers.Task addLine = (line, worker) -> addLine(line);
    private final Workers.Task readLine = (line, worker) -> readLine(line);

    /** Weights are stored divided by this, so that ageing costs nothing. */
    private double scale = 1;

    private boolean empty = true;

    // Arguments of the call under way.
    private RelativeStrain image;
    private float gain;
    private float[] value;
    private float[] deviation;
    private boolean[] trusted;
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
    void add(RelativeStrain newImage) {
        image = newImage;
        gain = (float) (1 / scale);
        for (int g = 0; g < scout.groups(); g++) {
            path.places(g, then, now, places[g]);
        }
        workers.run(lines, addLine);
        empty = false;
        image = null;
    }

    private void addLine(int line) {
        float[] relative = image.relative();
        float[] sigma = image.deviation();
        boolean[] known = image.trusted();
        float[] here = places[groupOfLine[line]];
        float[] next = places[Math.min(groupOfLine[line] + 1, places.length - 1)];
        float share = shareOfNext[line];
        int from = line * now.rows();
        int to = line * then.rows();
        int last = now.rows() - 1;
        float gain = this.gain;
        float[] weight = this.weight;
        float[] sum = this.sum;
        int count = then.rows();
        for (int row = 0; row < count; row++) {
            float place = here[row] + share * (next[row] - here[row]);
            // Rounds towards 0, which is down for what comes into question.
            int i = (int) place;
            int at = from + i;
            if (place >= 0 && i < last && known[at] && known[at + 1]) {
                float f = place - i;
                float r = relative[at] + f * (relative[at + 1] - relative[at]);
                float s = sigma[at] + f * (sigma[at + 1] - sigma[at]);
                s = s > LEAST_DEVIATION ? s : LEAST_DEVIATION;
                float w = gain / (s * s);
                weight[to + row] += w;
                sum[to + row] += w * r;
            } else {
                weight[to + row] *= FADING;
                sum[to + row] *= FADING;
            }
        }
    }

    /** Writes what is known, in the places of the newest frame. */
    void read(float[] newValue, float[] newDeviation, boolean[] newTrusted) {
        if (empty) {
            Arrays.fill(newValue, Float.NaN);
            Arrays.fill(newDeviation, Float.NaN);
            Arrays.fill(newTrusted, false);
            return;
        }
        value = newValue;
        deviation = newDeviation;
        trusted = newTrusted;
        readScale = (float) scale;
        for (int g = 0; g < scout.groups(); g++) {
            path.origins(g, now, then, origins[g]);
        }
        workers.run(lines, readLine);
        value = null;
        deviation = null;
        trusted = null;
    }

    private void readLine(int line) {
        float[] here = origins[groupOfLine[line]];
        float[] next = origins[Math.min(groupOfLine[line] + 1, origins.length - 1)];
        float share = shareOfNext[line];
        int from = line * then.rows();
        int to = line * now.rows();
        int last = then.rows() - 1;
        float scaled = readScale;
        // As weights are stored.
        float least = (float) (1 / (limit * limit)) / scaled;
        float[] weight = this.weight;
        float[] sum = this.sum;
        float[] value = this.value;
        float[] deviation = this.deviation;
        boolean[] trusted = this.trusted;
        int count = now.rows();
        for (int row = 0; row < count; row++) {
            float place = here[row] + share * (next[row] - here[row]);
            int i = (int) place;
            int at = from + i;
            boolean known = place >= 0 && i < last && weight[at] > 0 && weight[at + 1] > 0;
            if (known) {
                float f = place - i;
                float w = weight[at] + f * (weight[at + 1] - weight[at]);
                known = w >= least && w <= Float.MAX_VALUE;
                value[to + row] = sum[at] + f * (sum[at + 1] - sum[at]);
                deviation[to + row] = w;
            }
            trusted[to + row] = known;
            if (!known) {
                value[to + row] = Float.NaN;
                deviation[to + row] = Float.NaN;
            }
        }
        divide(value, deviation, to, to + count);
        toDeviation(deviation, scaled, to, to + count);
    }

    private static void divide(float[] sum, float[] weight, int from, int end) {
        for (int i = from; i < end; i++) {
            sum[i] /= weight[i];
        }
    }

    private static void toDeviation(float[] weight, float scaled, int from, int end) {
        for (int i = from; i < end; i++) {
            weight[i] = 1 / (float) Math.sqrt(weight[i] * scaled);
        }
    }
}
