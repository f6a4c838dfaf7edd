package org.elasto.strain.kalman;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.strain.shared.LineData;
import org.elasto.strain.shared.LineDerivative;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.StepResponse;

/** Axial strain as {@link KalmanSmootherProvider} describes it. */
final class RandomWalk implements LineDerivative {

    private final RowWindow window;
    private final int rows;
    private final ErrorColour colour;

    /** {@code q h³}, what variances of errors are measured by. */
    private final double unit;

    private final double resolution;
    private final Scratch[] scratch;

    /** What one worker needs. */
    private static final class Scratch {
        final LineData data;
        final BackwardSmoother smoother;
        final double[] displacement;
        final double[] variance;
        final double[] strain;
        final double[] deviation;

        Scratch(Walk walk, int rows, int margin) {
            data = new LineData(rows, margin);
            smoother = new BackwardSmoother(walk, rows);
            displacement = new double[rows];
            variance = new double[rows];
            strain = new double[rows];
            deviation = new double[rows];
        }
    }

    RandomWalk(KalmanSmootherConfig config, RowWindow window, FieldLayout field, Workers workers) {
        this.window = window;
        rows = field.grid().rows();
        double spacing = field.grid().spacing();
        Walk walk = Walk.of(config.strainChange(), spacing);
        colour = new ErrorColour(RowWindow.lags(field.axialErrors(), spacing, rows - 1));
        unit = walk.density() * spacing * spacing * spacing;
        double typical = Math.pow(config.typicalDeviation(), 2) * colour.strength();
        resolution = resolution(walk, typical);
        scratch = new Scratch[workers.count()];
        for (int i = 0; i < scratch.length; i++) {
            scratch[i] = new Scratch(walk, rows, window.half());
        }
    }

    /** What the smoother makes of a step of strain where errors have an even variance. */
    private static double resolution(Walk walk, double variance) {
        // The response falls off by e within (variance h / q)^(1/4) sqrt(2).
        double reach = Math.pow(variance * walk.spacing() / walk.density(), 0.25);
        int half = (int) Math.min(1 << 20, 10 + Math.ceil(12 * reach / walk.spacing()));
        int rows = 2 * half + 1;
        double[] u = new double[rows];
        double[] r = new double[rows];
        for (int k = 0; k < rows; k++) {
            u[k] = 1e-3 * walk.spacing() * Math.max(0, k - half);
            r[k] = variance;
        }
        double[] strain = new double[rows];
        new BackwardSmoother(walk, rows).smooth(u, r, strain, new double[rows]);
        return StepResponse.seen(strain, 0, 1e-3) * walk.spacing();
    }

    @Override
    public double resolution() {
        return resolution;
    }

    @Override
    public void line(
            DisplacementField field, int line, int worker, StrainImage out, float[] meanMatch) {
        Scratch work = scratch[worker];
        LineData data = work.data;
        data.load(field, line);
        double strength = colour.strength();
        for (int r = 0; r < rows; r++) {
            double s = data.deviation[data.margin + r];
            work.displacement[r] = data.displacement[data.margin + r];
            work.variance[r] = s > 0 ? strength * s * s : Double.POSITIVE_INFINITY;
        }
        boolean any = data.known(0, rows - 1) > 0;
        if (any) {
            work.smoother.smooth(work.displacement, work.variance, work.strain, work.deviation);
        }
        double ratio = 1;
        double factor = 0;
        int half = window.half();
        int needed = window.needed();
        for (int r = 0; r < rows; r++) {
            int at = line * rows + r;
            meanMatch[r] = data.meanMatch(r - half, r + half);
            double now = work.variance[r] / unit;
            if (now < Double.POSITIVE_INFINITY && Math.abs(now / ratio - 1) > 0.01 || factor == 0) {
                ratio = Math.min(now, 1e18);
                factor = colour.factor(ratio);
            }
            boolean enough = any && data.known(r - half, r + half) >= needed;
            out.axial()[at] = enough ? (float) work.strain[r] : Float.NaN;
            out.axialDeviation()[at] = enough ? (float) (work.deviation[r] * factor) : Float.NaN;
        }
    }
}
