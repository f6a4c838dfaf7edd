package org.elasto.strain.totalvariation;

import java.util.Arrays;
import java.util.Random;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.strain.shared.LineData;
import org.elasto.strain.shared.LineDerivative;
import org.elasto.strain.shared.RowWindow;
import org.elasto.strain.shared.StepResponse;

/** Axial strain as {@link TotalVariationProvider} describes it. */
final class EvenStrain implements LineDerivative {

    /** Change of strain, as displacement over the smoothing length in deviations, that is sharp. */
    private static final double SHARP = 10;

    // Dual steps over the prices: of those tried on fields of inclusions, with errors of
    // overlapping
    // windows, the ones that come closest in few steps (4 and 0.8 take three times as many).
    private static final double STEP = 16;
    private static final double STEP_ACROSS = 3;

    private final TotalVariationConfig config;
    private final RowWindow window;
    private final int lines;
    private final int rows;
    private final double spacing;

    /** Row spacing over line spacing, by row. */
    private final double[] aspect;

    /** Independent errors that are as strong at long waves have so many times the variance. */
    private final double strength;

    private final EvenStrainSolver solver;

    /** Errors of deviation 1 that go together as the field says. */
    private final double[][] errors;

    /** Deviations over their mean, with gaps filled. */
    private final double[][] relative;

    private final double[][] firstValue;

    /** The same, its small steps evened out: what errors are put on. */
    private final double[][] evened;

    private final DeviationMap deviations;
    private final double resolution;
    private final LineData[] data;
    private final double[] lineSum;
    private final int[] lineCount;
    private double scale;
    private final Workers workers;
    private final Workers.Task load = this::loadLine;
    private final Workers.Task measure = this::measureLine;
    private DisplacementField field;

    EvenStrain(TotalVariationConfig config, RowWindow window, FieldLayout layout, Workers workers) {
        this.config = config;
        this.window = window;
        this.workers = workers;
        lines = layout.geometry().lines();
        rows = layout.grid().rows();
        spacing = layout.grid().spacing();
        aspect = new double[rows];
        for (int r = 0; r < rows; r++) {
            aspect[r] = spacing / layout.geometry().lineSpacing(layout.grid().depth(r));
        }
        double[] lags = RowWindow.lags(layout.axialErrors(), spacing, rows - 1);
        strength = 1 + 2 * Arrays.stream(lags).sum();
        solver = solver(lines, rows, workers);
        errors = errors(layout, rows, lines, spacing);
        relative = new double[rows][lines];
        firstValue = new double[rows][lines];
        evened = new double[rows][lines];
        deviations = new DeviationMap(lines, rows, spacing, layout, workers);
        resolution = sharpStep();
        data = new LineData[workers.count()];
        for (int i = 0; i < data.length; i++) {
            data[i] = new LineData(rows, window.half());
        }
        lineSum = new double[lines];
        lineCount = new int[lines];
    }

    private EvenStrainSolver solver(int solverLines, int solverRows, Workers by) {
        double price = config.smoothingLength() / spacing;
        double across = config.smoothingAcross() / spacing * aspect[0];
        return new EvenStrainSolver(
                solverLines, solverRows, STEP * price, STEP_ACROSS * across, by);
    }

    private static double[][] errors(FieldLayout layout, int rows, int lines, double spacing) {
        Random random = new Random(17);
        double[] along = kernel(layout.axialErrors(), spacing);
        double pitch =
                layout.geometry()
                        .lineSpacing(
                                (layout.geometry().firstDepth() + layout.geometry().lastDepth())
                                        / 2);
        double[] across = kernel(layout.lateralErrors(), pitch);
        double[][] white = new double[rows + along.length - 1][lines + across.length - 1];
        for (double[] row : white) {
            Arrays.setAll(row, l -> random.nextGaussian());
        }
        double[][] result = new double[rows][lines];
        for (int r = 0; r < rows; r++) {
            double[] mixed = new double[lines + across.length - 1];
            for (int k = 0; k < along.length; k++) {
                for (int l = 0; l < mixed.length; l++) {
                    mixed[l] += along[k] * white[r + k][l];
                }
            }
            for (int l = 0; l < lines; l++) {
                for (int k = 0; k < across.length; k++) {
                    result[r][l] += across[k] * mixed[l + k];
                }
            }
        }
        return result;
    }

    /** Weights, of unit sum of squares, that give independent numbers a stated correlation. */
    private static double[] kernel(ErrorCorrelation correlation, double spacing) {
        double length = correlation.length() / spacing;
        double[] kernel;
        if (correlation.shape() == ErrorCorrelation.Shape.TRIANGULAR) {
            kernel = new double[Math.max(1, (int) Math.round(length))];
            Arrays.fill(kernel, 1);
        } else {
            double deviation = Math.max(1e-3, length / (2 * Math.sqrt(Math.PI)));
            int half = (int) Math.ceil(4 * deviation);
            kernel = new double[2 * half + 1];
            Arrays.setAll(kernel, k -> Math.exp(-0.5 * Math.pow((k - half) / deviation, 2)));
        }
        double norm = Math.sqrt(Arrays.stream(kernel).map(k -> k * k).sum());
        Arrays.setAll(kernel, k -> kernel[k] / norm);
        return kernel;
    }

    /** What becomes of a sharp step on a line of its own. */
    private double sharpStep() {
        int half = (int) Math.ceil(4 * config.smoothingLength() / spacing) + 50;
        int n = 2 * half + 1;
        EvenStrainSolver one = solver(1, n, Workers.sequential());
        for (int r = 0; r < n; r++) {
            one.weight[r][0] = 1 / strength;
            one.price[r][0] = config.smoothingLength() / spacing;
            one.measured[r][0] =
                    SHARP * spacing / config.smoothingLength() * Math.max(0, r - half - 0.3);
            one.value[r][0] = one.measured[r][0];
        }
        one.factor();
        one.solve(config.steps());
        double[] strain = new double[n - 2];
        for (int r = 1; r < n - 1; r++) {
            strain[r - 1] = (one.value[r + 1][0] - one.value[r - 1][0]) / 2;
        }
        double size = SHARP * spacing / config.smoothingLength();
        return StepResponse.seen(strain, 0, size) * spacing;
    }

    @Override
    public double resolution() {
        return resolution;
    }

    @Override
    public void begin(DisplacementField newField) {
        field = newField;
        try {
            workers.run(lines, measure);
            double sum = 0;
            int count = 0;
            for (int l = 0; l < lines; l++) {
                sum += lineSum[l];
                count += lineCount[l];
            }
            scale = count == 0 ? Double.NaN : sum / count;
            if (count == 0) {
                return;
            }
            workers.run(lines, load);
            solver.factor();
            solver.solve(config.steps());
            copy(solver.value, firstValue);
            // Once more without errors of its own: small steps that noise left are not for real.
            copy(firstValue, solver.measured);
            solver.solve(config.steps() / 2);
            copy(solver.value, evened);
            addErrors();
            solver.solve(config.steps());
            deviations.measure(evened, solver.value, solver.weight);
        } finally {
            field = null;
        }
    }

    private void measureLine(int line, int worker) {
        LineData own = data[worker];
        own.load(field, line);
        double sum = 0;
        for (int i = own.margin; i < own.margin + rows; i++) {
            sum += own.deviation[i];
        }
        lineSum[line] = sum;
        lineCount[line] = own.known(0, rows - 1);
    }

    /** In units of the mean deviation; gaps are filled by straight lines. */
    private void loadLine(int line, int worker) {
        LineData own = data[worker];
        own.load(field, line);
        int before = -1;
        for (int r = 0; r <= rows; r++) {
            if (r == rows || own.deviation[own.margin + r] > 0) {
                fill(own, line, before, r);
                before = r;
            }
        }
    }

    /** Writes the rows after one known row up to and with the next; either may be off the line. */
    private void fill(LineData own, int line, int before, int next) {
        boolean none = before < 0 && next == rows;
        int from = before < 0 ? next : before;
        int to = next == rows ? before : next;
        double slope = 0;
        if (from != to) {
            slope = (at(own, to) - at(own, from)) / (to - from);
        } else if (!none) {
            slope = endSlope(own, from, before < 0 ? 1 : -1);
        }
        double u = none ? 0 : at(own, from);
        double sa = none ? 1 : own.deviation[own.margin + from] / scale;
        double sb = none ? 1 : own.deviation[own.margin + to] / scale;
        for (int r = before + 1; r <= Math.min(next, rows - 1); r++) {
            double s = from == to ? sa : sa + (double) (r - from) / (to - from) * (sb - sa);
            double value = r == next ? at(own, r) : u + slope * (r - from);
            solver.weight[r][line] = r == next ? 1 / (strength * s * s) : 0;
            solver.measured[r][line] = value;
            solver.value[r][line] = value;
            solver.price[r][line] = config.smoothingLength() / (spacing * s);
            solver.priceAcross[r][line] =
                    line == lines - 1 ? 0 : config.smoothingAcross() * aspect[r] / (spacing * s);
            relative[r][line] = s;
        }
    }

    private double at(LineData own, int row) {
        return own.displacement[own.margin + row] / scale;
    }

    /** Slope with which displacement goes on beyond the first or last known row. */
    private double endSlope(LineData own, int end, int inwards) {
        int other = end;
        for (int r = end + inwards;
                r >= 0 && r < rows && Math.abs(r - end) <= window.half();
                r += inwards) {
            other = own.deviation[own.margin + r] > 0 ? r : other;
        }
        return other == end ? 0 : (at(own, other) - at(own, end)) / (other - end);
    }

    private void copy(double[][] from, double[][] to) {
        for (int r = 0; r < rows; r++) {
            System.arraycopy(from[r], 0, to[r], 0, lines);
        }
    }

    /** Puts errors as predicted on what was found and evened, to be solved again. */
    private void addErrors() {
        for (int r = 0; r < rows; r++) {
            double[] u = evened[r];
            double[] v = solver.value[r];
            double[] d = solver.measured[r];
            double[] s = relative[r];
            double[] e = errors[r];
            for (int l = 0; l < lines; l++) {
                d[l] = u[l] + s[l] * e[l];
                v[l] = d[l];
            }
        }
    }

    @Override
    public void line(
            DisplacementField newField, int line, int worker, StrainImage out, float[] meanMatch) {
        LineData own = data[worker];
        own.load(newField, line);
        int half = window.half();
        int needed = window.needed();
        for (int r = 0; r < rows; r++) {
            int at = line * rows + r;
            meanMatch[r] = own.meanMatch(r - half, r + half);
            boolean enough = own.known(r - half, r + half) >= needed;
            out.axial()[at] = enough ? (float) (scale * slope(firstValue, line, r)) : Float.NaN;
            out.axialDeviation()[at] =
                    enough ? (float) (scale * deviations.at(line, r)) : Float.NaN;
        }
    }

    private double slope(double[][] value, int line, int row) {
        int above = Math.max(0, row - 1);
        int below = Math.min(rows - 1, row + 1);
        return (value[below][line] - value[above][line]) / ((below - above) * spacing);
    }
}
