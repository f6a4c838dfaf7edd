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

    private final PaddedLines axial;
    private final PaddedLines lateral;

    /**
     * One over the distance from the centre of curvature of each row (1/m); 0 if lines are
     * parallel.
     */
    private final double[] curvature;

    private final BlockSlopes[] axialAcross;
    private final BlockSlopes[] lateralAcross;

    /** Null where windows are so long that sums which slide cost less. */
    private final BlockSlopes[] along;

    private final SlidingLine[] sliding;
    private final Workers.Task prepare = (block, worker) -> prepareLines(block);
    private final Workers.Task fit = this::fitLines;
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
        boolean isShort = BlockLine.suits(window);
        int margin = isShort ? window.half() : 0;
        double narrowest = layout.geometry().lineSpacing(layout.grid().firstDepth());
        int around = Math.max(1, BlockSlopes.halfWidth(width, narrowest, lines)) + BlockLine.LINES;
        axial = new PaddedLines(lines, rows, margin, around, false);
        lateral = new PaddedLines(lines, rows, margin, around, false);
        curvature = new double[rows];
        if (layout.geometry().layout() instanceof LineLayout.Convex convex) {
            for (int r = 0; r < rows; r++) {
                curvature[r] = 1 / (convex.radius() + layout.grid().depth(r));
            }
        }
        int count = workers.count();
        axialAcross = new BlockSlopes[count];
        lateralAcross = new BlockSlopes[count];
        along = isShort ? new BlockSlopes[count] : null;
        sliding = isShort ? null : new SlidingLine[count];
        for (int i = 0; i < count; i++) {
            axialAcross[i] = across(width, window, layout);
            lateralAcross[i] = across(width, window, layout);
            if (isShort) {
                along[i] = BlockSlopes.along(window, rows, lateral.stride);
            } else {
                sliding[i] = new SlidingLine(window, rows);
            }
        }
    }

    private BlockSlopes across(double width, RowWindow window, FieldLayout layout) {
        return BlockSlopes.across(
                width, window.usableShare(), layout.geometry(), layout.grid(), axial.stride);
    }

    void estimate(DisplacementField newField, StrainImage newOut) {
        field = newField;
        out = newOut;
        try {
            workers.run(BlockLine.blocks(lines), prepare);
            workers.run(BlockLine.blocks(lines), fit);
        } finally {
            field = null;
            out = null;
        }
    }

    private void prepareLines(int block) {
        int first = block * BlockLine.LINES;
        int end = Math.min(lines, first + BlockLine.LINES);
        float[] match = field.correlation();
        for (int line = first; line < end; line++) {
            int from = line * rows;
            axial.load(line, field.axial(), field.axialDeviation(), match, from);
            lateral.load(line, field.lateral(), field.lateralDeviation(), match, from);
        }
        axial.weigh(first, end - first);
        lateral.weigh(first, end - first);
    }

    private void fitLines(int block, int worker) {
        int first = block * BlockLine.LINES;
        float[] lateralSlope = lateralAcross[worker].fit(lateral, first);
        float[] axialSlope = axialAcross[worker].fit(axial, first);
        float[] alongSlope = along == null ? null : along[worker].fit(lateral, first);
        float[] shear = out.shear();
        for (int line = first; line < Math.min(lines, first + BlockLine.LINES); line++) {
            int to = line * rows;
            int from = (line - first) * lateral.stride;
            if (alongSlope != null) {
                System.arraycopy(alongSlope, from, shear, to, rows);
            } else {
                slide(worker, to);
            }
            combine(lateralSlope, axialSlope, from, to);
        }
    }

    private void slide(int worker, int at) {
        sliding[worker].fit(
                field.lateral(),
                field.lateralDeviation(),
                field.correlation(),
                at,
                out.shear(),
                null,
                null,
                at);
    }

    /** Adds what stems from the lines' fanning out; slopes along the lines lie in the output. */
    private void combine(float[] lateralSlope, float[] axialSlope, int from, int to) {
        float[] lateralStrain = out.lateral();
        float[] shear = out.shear();
        float[] w = field.axial();
        float[] u = field.lateral();
        for (int r = 0; r < rows; r++) {
            double c = curvature[r];
            double spread = c == 0 ? 0 : w[to + r] * c;
            double turn = c == 0 ? 0 : u[to + r] * c;
            lateralStrain[to + r] = finite(lateralSlope[from + r] + spread);
            shear[to + r] = finite((axialSlope[from + r] + shear[to + r] - turn) / 2);
        }
    }

    /** Infinite where the field holds infinite displacement: unknown as well. */
    private static float finite(double value) {
        return Math.abs(value) <= Float.MAX_VALUE ? (float) value : Float.NaN;
    }
}
