package org.elasto.strain.adaptive;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.strain.shared.LineDerivative;
import org.elasto.strain.shared.SlidingLine;

/** Axial strain as {@link AdaptiveWindowProvider} describes it. */
final class AdaptiveWindow implements LineDerivative {

    private final float precision;
    private final WindowLadder ladder;
    private final int rows;
    private final Scratch[] scratch;

    /** What one worker needs. */
    private static final class Scratch {
        final SlidingLine[] fits;
        final float[] slope;
        final float[] deviation;
        final float[] match;
        final boolean[] settled;

        Scratch(WindowLadder ladder, int rows) {
            fits = new SlidingLine[ladder.windows().length];
            for (int i = 0; i < fits.length; i++) {
                fits[i] = new SlidingLine(ladder.windows()[i], rows);
            }
            slope = new float[rows];
            deviation = new float[rows];
            match = new float[rows];
            settled = new boolean[rows];
        }
    }

    AdaptiveWindow(double precision, WindowLadder ladder, FieldLayout field, Workers workers) {
        this.precision = (float) precision;
        this.ladder = ladder;
        rows = field.grid().rows();
        scratch = new Scratch[workers.count()];
        for (int i = 0; i < scratch.length; i++) {
            scratch[i] = new Scratch(ladder, rows);
        }
    }

    @Override
    public double resolution() {
        return ladder.resolution();
    }

    @Override
    public void line(
            DisplacementField field, int line, int worker, StrainImage out, float[] meanMatch) {
        Scratch work = scratch[worker];
        int offset = line * rows;
        Arrays.fill(work.settled, false);
        Arrays.fill(out.axial(), offset, offset + rows, Float.NaN);
        Arrays.fill(out.axialDeviation(), offset, offset + rows, Float.NaN);
        Arrays.fill(meanMatch, 0);
        int open = rows;
        for (int step = 0; step < work.fits.length && open > 0; step++) {
            work.fits[step].fit(
                    field.axial(),
                    field.axialDeviation(),
                    field.correlation(),
                    offset,
                    work.slope,
                    work.deviation,
                    work.match,
                    0);
            open = settle(work, offset, out, meanMatch);
        }
    }

    /** Takes what a longer window gives where that is wanted; returns how many rows are open. */
    private int settle(Scratch work, int offset, StrainImage out, float[] meanMatch) {
        float[] strain = out.axial();
        float[] deviation = out.axialDeviation();
        int open = 0;
        for (int r = 0; r < rows; r++) {
            int at = offset + r;
            float now = work.deviation[r];
            if (work.settled[r] || Float.isNaN(now)) {
                open += work.settled[r] ? 0 : 1;
                continue;
            }
            float before = deviation[at];
            if (now <= precision && before > precision) {
                float part = (before - precision) / (before - now);
                strain[at] += part * (work.slope[r] - strain[at]);
                deviation[at] = precision;
                meanMatch[r] += part * (work.match[r] - meanMatch[r]);
            } else if (!(now >= before)) {
                strain[at] = work.slope[r];
                deviation[at] = now;
                meanMatch[r] = work.match[r];
            }
            work.settled[r] = deviation[at] <= precision;
            open += work.settled[r] ? 0 : 1;
        }
        return open;
    }
}
