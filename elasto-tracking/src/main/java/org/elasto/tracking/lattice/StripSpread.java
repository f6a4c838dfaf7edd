package org.elasto.tracking.lattice;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.Workers;
import org.elasto.tracking.shared.GaussianWindow;
import org.elasto.tracking.shared.VectorLoops;

/**
 * From strips of blocks, written one after the other, to the lines of the field: on the straight
 * line from strip to strip where both are known, and on its continuation beside the outermost.
 * Where motion jumps from strip to strip, the nearer one counts, and also where it alone is known
 * if the line is part of it.
 *
 * <p>One thread at a time. A call allocates nothing.
 */
final class StripSpread {

    /**
     * Share of noise that is taken for independent from strip to strip, as electronic noise is all
     * and noise of tissue, which goes together over a beam, in part only. With it errors are 0.93
     * to 1.20 times what is predicted over all conditions of the accuracy table.
     */
    private static final double INDEPENDENT = 2 / 3.0;

    /** Strips or lines of a task. */
    private static final int TOGETHER = 8;

    private final int rows;
    private final int strips;
    private final float jump;

    /** For each line: the strip before it, and how far it is gone to the next. */
    private final int[] stripBefore;

    private final float[] shareOfNext;

    /** Deviation of the noise of each line over that of its strips. */
    private final float[] noise;

    /** Whether every line is part of a strip: then its own is enough to know it. */
    private final boolean hasOwnStrip;

    private final float[] axial;
    private final float[] axialDeviation;
    private final float[] correlation;
    private final float[] lateral;
    private final float[] lateralDeviation;
    private final Workers workers;
    private final Workers.Task keep = (task, worker) -> keepStrips(task);
    private final Workers.Task spread = this::spreadLines;
    private final Scratch[] scratch;

    /** The field of the call under way. */
    private DisplacementField out;

    /** Workspace of a worker. */
    private static final class Scratch {
        final int[] rowsOfExceptions;
        final float[] before;
        final float[] after;
        final float[] between;

        Scratch(int rows) {
            rowsOfExceptions = new int[rows + 1];
            before = new float[rows];
            after = new float[rows];
            between = new float[rows];
        }
    }

    /**
     * Makes one for a kind of frames.
     *
     * @param frame a frame of that kind
     * @param lines lines of the field
     * @param rows rows of the field
     * @param across window across the strips that displacement is averaged by, twice
     * @param jump difference of neighbouring strips that is a jump (m)
     * @param workers threads to use
     */
    StripSpread(
            LatticeFrame frame,
            int lines,
            int rows,
            GaussianWindow across,
            double jump,
            Workers workers) {
        this.rows = rows;
        this.jump = (float) jump;
        strips = frame.shape.strips;
        stripBefore = new int[lines];
        shareOfNext = new float[lines];
        noise = new float[lines];
        double together = 1 - INDEPENDENT * (1 - neighbours(across));
        for (int line = 0; line < lines; line++) {
            double among = (line - frame.firstLine) / (double) frame.lineStep;
            double place = (among - (frame.shape.width - 1) / 2.0) / frame.shape.width;
            if (strips == 1) {
                place = 0;
            }
            int strip = (int) Math.max(0, Math.min(strips - 2, Math.floor(place)));
            double share = place - strip;
            stripBefore[line] = strip;
            shareOfNext[line] = (float) share;
            double held = Math.max(0, Math.min(1, share));
            noise[line] = (float) Math.sqrt(1 - 2 * held * (1 - held) * (1 - together));
        }
        hasOwnStrip = frame.lineStep == 1;
        axial = new float[strips * rows];
        axialDeviation = new float[strips * rows];
        correlation = new float[strips * rows];
        lateral = new float[strips * rows];
        lateralDeviation = new float[strips * rows];
        this.workers = workers;
        scratch = new Scratch[workers.count()];
        Arrays.setAll(scratch, i -> new Scratch(rows));
    }

    /** Correlation between neighbouring strips of noise that windows have averaged. */
    private static double neighbours(GaussianWindow across) {
        int reach = 2 * across.halfWidth();
        double[] kernel = new double[2 * reach + 2];
        for (int j = -reach; j <= reach; j++) {
            double twice = 0;
            for (int i = -across.halfWidth(); i <= across.halfWidth(); i++) {
                twice += across.tap(i) * tap(across, j - i);
            }
            kernel[j + reach] = 2 * tap(across, j) - twice;
        }
        double same = 0;
        double next = 0;
        for (int k = 0; k <= 2 * reach; k++) {
            same += kernel[k] * kernel[k];
            next += kernel[k] * kernel[k + 1];
        }
        return next / same;
    }

    private static double tap(GaussianWindow window, int j) {
        return Math.abs(j) <= window.halfWidth() ? window.tap(j) : 0;
    }

    /** Variance of noise over that of strips, on the mean over the lines. */
    double meanVariance() {
        double sum = 0;
        for (float deviation : noise) {
            sum += deviation * deviation;
        }
        return sum / noise.length;
    }

    /** Whether every line has a strip of its own. */
    private boolean isEveryLine() {
        return strips == stripBefore.length;
    }

    /** Spreads all planes of a field. */
    void spread(DisplacementField field) {
        if (isEveryLine()) {
            return;
        }
        out = field;
        workers.run((strips + TOGETHER - 1) / TOGETHER, keep);
        workers.run((stripBefore.length + TOGETHER - 1) / TOGETHER, spread);
        out = null;
    }

    private void keepStrips(int task) {
        int from = task * TOGETHER * rows;
        int count = Math.min(strips * rows, from + TOGETHER * rows) - from;
        System.arraycopy(out.axial(), from, axial, from, count);
        System.arraycopy(out.axialDeviation(), from, axialDeviation, from, count);
        System.arraycopy(out.correlation(), from, correlation, from, count);
        if (out.lateral() != null) {
            System.arraycopy(out.lateral(), from, lateral, from, count);
            System.arraycopy(out.lateralDeviation(), from, lateralDeviation, from, count);
        }
    }

    private void spreadLines(int task, int worker) {
        int end = Math.min(stripBefore.length, (task + 1) * TOGETHER);
        for (int line = task * TOGETHER; line < end; line++) {
            spread(line, scratch[worker]);
        }
    }

    /** Displacement goes on beside the outermost strips; all else does not. */
    private void spread(int line, Scratch s) {
        float share = shareOfNext[line];
        float held = Math.max(0f, Math.min(1f, share));
        int exceptions = findExceptions(line, s);
        read(axial, line, share, 1, exceptions, out.axial(), s);
        read(axialDeviation, line, held, noise[line], exceptions, out.axialDeviation(), s);
        read(correlation, line, held, 1, exceptions, out.correlation(), s);
        if (out.lateral() != null) {
            read(lateral, line, share, 1, exceptions, out.lateral(), s);
            read(lateralDeviation, line, held, noise[line], exceptions, out.lateralDeviation(), s);
        }
        for (int i = 0; i < exceptions; i++) {
            int at = line * rows + s.rowsOfExceptions[i];
            if (Float.isNaN(out.axial()[at])) {
                out.markUnknown(at);
            }
        }
    }

    /** Rows that cannot be read between the strips: one is unknown, or motion jumps. */
    private int findExceptions(int line, Scratch s) {
        int before = stripBefore[line] * rows;
        int after = before + rows;
        int count = 0;
        for (int row = 0; row < rows && shareOfNext[line] != 0; row++) {
            s.rowsOfExceptions[count] = row;
            count += Math.abs(axial[after + row] - axial[before + row]) <= jump ? 0 : 1;
        }
        return count;
    }

    private void read(
            float[] strips,
            int line,
            float share,
            float factor,
            int exceptions,
            float[] out,
            Scratch s) {
        int at = stripBefore[line] * rows;
        if (share == 0) {
            System.arraycopy(strips, at, out, line * rows, rows);
            return;
        }
        System.arraycopy(strips, at, s.before, 0, rows);
        System.arraycopy(strips, at + rows, s.after, 0, rows);
        VectorLoops.mix(s.between, s.before, s.after, factor * (1 - share), factor * share, rows);
        float[] nearer = share < 0.5f ? s.before : s.after;
        for (int i = 0; i < exceptions; i++) {
            int row = s.rowsOfExceptions[i];
            boolean bothKnown = !Float.isNaN(axial[at + row] + axial[at + rows + row]);
            s.between[row] = hasOwnStrip || bothKnown ? nearer[row] : Float.NaN;
        }
        System.arraycopy(s.between, 0, out, line * rows, rows);
    }
}
