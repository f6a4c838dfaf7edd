package org.elasto.strain.shared;

import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;

/** {@link SlidingSlope} for every worker, from the planes of a field to those of an image. */
public final class SlidingWindows {

    private final int half;
    private final LineData[] lines;
    private final SlidingSlope[] slopes;

    /**
     * Makes the workspaces.
     *
     * @param weights weights of windows with even deviations
     * @param rows rows of a line
     * @param evenness as for {@link SlidingSlope}
     * @param workers workers that will call
     */
    public SlidingWindows(SlopeWeights weights, int rows, double evenness, Workers workers) {
        half = weights.window.half();
        lines = new LineData[workers.count()];
        slopes = new SlidingSlope[workers.count()];
        for (int i = 0; i < lines.length; i++) {
            lines[i] = new LineData(rows, half);
            slopes[i] = new SlidingSlope(weights, rows, evenness);
        }
    }

    /**
     * Writes strain, deviation and mean match of a line.
     *
     * @param displacement plane of displacements (m)
     * @param deviation plane of their predicted deviations (m)
     * @param field gives the correlation
     * @param line number of the line
     * @param worker number of the worker
     * @param out receives strain and deviation
     * @param meanMatch receives the mean correlation of each window's known rows
     */
    public void fit(
            float[] displacement,
            float[] deviation,
            DisplacementField field,
            int line,
            int worker,
            StrainImage out,
            float[] meanMatch) {
        LineData data = lines[worker];
        int offset = line * field.rows();
        data.load(displacement, deviation, field.correlation(), offset);
        slopes[worker].fit(data, out.axial(), out.axialDeviation(), offset);
        for (int r = 0; r < data.rows; r++) {
            meanMatch[r] = data.meanMatch(r - half, r + half);
        }
    }
}
