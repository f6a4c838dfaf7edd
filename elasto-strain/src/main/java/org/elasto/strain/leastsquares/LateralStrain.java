package org.elasto.strain.leastsquares;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.LineLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;

/** Lateral and shear strain from a field with both components of displacement. */
final class LateralStrain {

    private final Workers workers;
    private final int lines;
    private final int rows;

    /** Weights and displacements of both components, with zeros in place of unknowns. */
    private final float[] axial;

    private final float[] axialWeight;
    private final float[] lateral;
    private final float[] lateralWeight;

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

    LateralStrain(
            LeastSquaresLineConfig config, FieldLayout layout, RowWindow window, Workers workers) {
        this.workers = workers;
        lines = layout.geometry().lines();
        rows = layout.grid().rows();
        axial = new float[layout.planeSize()];
        axialWeight = new float[layout.planeSize()];
        lateral = new float[layout.planeSize()];
        lateralWeight = new float[layout.planeSize()];
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
                            config.lateralWindow(),
                            config.usableShare(),
                            layout.geometry(),
                            layout.grid());
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
        int offset = line * rows;
        float[] match = field.correlation();
        clean(field.axial(), field.axialDeviation(), match, offset, axial, axialWeight);
        clean(field.lateral(), field.lateralDeviation(), match, offset, lateral, lateralWeight);
    }

    private void clean(
            float[] displacement,
            float[] deviation,
            float[] match,
            int offset,
            float[] clean,
            float[] weight) {
        for (int i = offset; i < offset + rows; i++) {
            double x = SlidingLine.precision(displacement[i], deviation[i], match[i]);
            clean[i] = x > 0 ? displacement[i] : 0;
            weight[i] = (float) (x * x);
        }
    }

    private void fitLine(int line, int worker) {
        int offset = line * rows;
        float[] slope = slopes[worker];
        float[] lateralStrain = out.lateral();
        float[] shear = out.shear();
        float[] w = field.axial();
        float[] u = field.lateral();

        across[worker].fit(lateral, lateralWeight, line, slope);
        for (int r = 0; r < rows; r++) {
            double spread = curvature[r] == 0 ? 0 : w[offset + r] * curvature[r];
            lateralStrain[offset + r] = finite(slope[r] + spread);
        }

        across[worker].fit(axial, axialWeight, line, slope);
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
