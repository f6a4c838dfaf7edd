package org.elasto.strain.shared;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.LineLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;

/** Lateral and shear strain from a field with both components of displacement. */
public final class LateralStrain {

    private final Workers workers;
    private final int lines;
    private final int rows;

    /** Weights of both components, and displacements times weights; 0 where unknown. */
    private final double[] axialWeight;

    private final double[] axialWeighted;
    private final double[] lateralWeight;
    private final double[] lateralWeighted;

    /**
     * One over the distance from the centre of curvature of each row (1/m); 0 if lines are
     * parallel.
     */
    private final double[] curvature;

    private final SlopeAcrossLines[] across;
    private final SlidingLine[] along;
    private final float[][] slopes;
    private final Workers.Task prepare = (line, worker) -> prepareLine(line);
    private final Workers.Task fit = this::fitLine;
    private DisplacementField field;
    private StrainImage out;

    /**
     * Makes an estimator.
     *
     * @param width width of the windows across the lines (m), rounded to a whole even number of
     *     line spacings, at least two
     * @param layout layout of the displacement fields
     * @param window window along the lines, for shear strain; its share that must be known holds
     *     across the lines as well
     * @param workers threads it may use
     */
    public LateralStrain(double width, FieldLayout layout, RowWindow window, Workers workers) {
        this.workers = workers;
        lines = layout.geometry().lines();
        rows = layout.grid().rows();
        axialWeight = new double[layout.planeSize()];
        axialWeighted = new double[layout.planeSize()];
        lateralWeight = new double[layout.planeSize()];
        lateralWeighted = new double[layout.planeSize()];
        curvature = new double[rows];
        if (layout.geometry().layout() instanceof LineLayout.Convex convex) {
            for (int r = 0; r < rows; r++) {
                curvature[r] = 1 / (convex.radius() + layout.grid().depth(r));
            }
        }
        across = new SlopeAcrossLines[workers.count()];
        along = new SlidingLine[workers.count()];
        slopes = new float[workers.count()][rows];
        for (int i = 0; i < across.length; i++) {
            across[i] =
                    new SlopeAcrossLines(
                            width, window.usableShare(), layout.geometry(), layout.grid());
            along[i] = new SlidingLine(window, rows);
        }
    }

    void estimate(DisplacementField newField, StrainImage newOut) {
        field = newField;
        out = newOut;
        try {
            workers.run(lines, prepare);
            workers.run(lines, fit);
        } finally {
            field = null;
            out = null;
        }
    }

    private void prepareLine(int line) {
        int from = line * rows;
        weigh(field.axial(), field.axialDeviation(), from, axialWeight, axialWeighted);
        weigh(field.lateral(), field.lateralDeviation(), from, lateralWeight, lateralWeighted);
    }

    private void weigh(
            float[] displacement, float[] deviation, int from, double[] weight, double[] weighted) {
        float[] match = field.correlation();
        for (int i = from; i < from + rows; i++) {
            double x = Precision.of(displacement[i], deviation[i], match[i]);
            weight[i] = x * x;
            weighted[i] = x > 0 ? x * x * displacement[i] : 0;
        }
    }

    private void fitLine(int line, int worker) {
        int offset = line * rows;
        float[] slope = slopes[worker];
        float[] lateralStrain = out.lateral();
        float[] shear = out.shear();
        float[] w = field.axial();
        float[] u = field.lateral();

        across[worker].fit(lateralWeighted, lateralWeight, line, slope);
        for (int r = 0; r < rows; r++) {
            double spread = curvature[r] == 0 ? 0 : w[offset + r] * curvature[r];
            lateralStrain[offset + r] = finite(slope[r] + spread);
        }

        across[worker].fit(axialWeighted, axialWeight, line, slope);
        along[worker].fit(
                u,
                field.lateralDeviation(),
                field.correlation(),
                offset,
                shear,
                null,
                null,
                offset);
        for (int r = 0; r < rows; r++) {
            double turn = curvature[r] == 0 ? 0 : u[offset + r] * curvature[r];
            shear[offset + r] = finite((slope[r] + shear[offset + r] - turn) / 2);
        }
    }

    /** Infinite where the field holds infinite displacement: unknown as well. */
    private static float finite(double value) {
        return Math.abs(value) <= Float.MAX_VALUE ? (float) value : Float.NaN;
    }
}
