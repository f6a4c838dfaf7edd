package org.elasto.strain.shared;

import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.StrainEstimator;

/**
 * A strain estimator made of a way to differentiate along the lines, the rule of trust, and lateral
 * and shear strain. The image has the field's rows.
 */
public final class LineByLineEstimator implements StrainEstimator {

    private final AxialDerivative derivative;
    private final TrustRule trust;
    private final LateralAverage average;
    private final LateralStrain lateral;
    private final FieldLayout fieldLayout;
    private final StrainLayout layout;
    private final Workers workers;
    private final int lines;

    /** By worker and line of a block. */
    private final float[][][] meanMatch;

    private final Workers.Task task = this::estimateLines;

    // The arguments of the call that is under way.
    private DisplacementField field;
    private StrainImage out;

    /**
     * Makes an estimator.
     *
     * @param derivative axial strain
     * @param trust what is trusted
     * @param lateral lateral and shear strain; null where the field has no lateral displacement
     * @param average averages trusted strain across the lines; null for none
     * @param field layout of the displacement fields
     * @param workers threads it may use
     */
    public LineByLineEstimator(
            AxialDerivative derivative,
            TrustRule trust,
            LateralStrain lateral,
            LateralAverage average,
            FieldLayout field,
            Workers workers) {
        this.derivative = derivative;
        this.trust = trust;
        this.lateral = lateral;
        this.average = average;
        this.fieldLayout = field;
        this.workers = workers;
        lines = field.geometry().lines();
        layout =
                new StrainLayout(
                        field.geometry(), field.grid(), lateral != null, derivative.resolution());
        meanMatch = new float[workers.count()][BlockLine.LINES][field.grid().rows()];
    }

    /**
     * Makes an estimator with lateral and shear strain where the field has lateral displacement.
     *
     * @param derivative axial strain
     * @param trust what is trusted
     * @param lateralWindow width of the windows for lateral and shear strain (m)
     * @param window window in depth for shear strain; its share that must be known holds across the
     *     lines as well
     * @param field layout of the displacement fields
     * @param workers threads it may use
     * @return the estimator
     */
    public static LineByLineEstimator of(
            AxialDerivative derivative,
            TrustRule trust,
            double lateralWindow,
            RowWindow window,
            FieldLayout field,
            Workers workers) {
        LateralStrain lateral =
                field.lateral() ? new LateralStrain(lateralWindow, field, window, workers) : null;
        return new LineByLineEstimator(derivative, trust, lateral, null, field, workers);
    }

    @Override
    public StrainLayout layout() {
        return layout;
    }

    @Override
    public void estimate(DisplacementField newField, StrainImage newOut) {
        Check.same("layout of the displacement field", newField.layout(), fieldLayout);
        Check.same("layout of the strain image", newOut.layout(), layout);
        derivative.begin(newField);
        field = newField;
        out = newOut;
        try {
            workers.run(BlockLine.blocks(lines), task);
        } finally {
            field = null;
            out = null;
        }
        if (average != null) {
            average.apply(newOut);
        }
        if (lateral != null) {
            lateral.estimate(newField, newOut);
        }
    }

    private void estimateLines(int block, int worker) {
        int first = block * BlockLine.LINES;
        int count = Math.min(BlockLine.LINES, lines - first);
        float[][] mean = meanMatch[worker];
        derivative.lines(field, first, count, worker, out, mean);
        for (int j = 0; j < count; j++) {
            trust.judge(field, first + j, mean[j], out);
        }
    }
}
