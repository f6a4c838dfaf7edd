package org.elasto.strain.live;

import java.util.Arrays;
import org.ejml.data.DMatrixRMaj;
import org.ejml.dense.row.factory.LinearSolverFactory_DDRM;
import org.ejml.interfaces.linsol.LinearSolverDense;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.strain.shared.Selection;

/**
 * Strain in terms of that of the surroundings. The force of the hand is unknown and fades with
 * depth, so strain is divided by a smooth field: a polynomial of second degree in depth and across,
 * fitted to the trusted strain by weighted least squares, with weights that let go of what does not
 * fit, such as inclusions (Tukey's bisquare on relative residuals with the constant 4.685 and the
 * median absolute deviation as scale; Holland &amp; Welsch, Communications in Statistics A6(9),
 * 1977, from memory).
 *
 * <p>1 is the strain of the surroundings, less is stiffer, whether tissue is pressed or released.
 * Where the smooth field comes close to 0 there is nothing to relate to: untrusted.
 *
 * <p>One thread at a time; allocates nothing after it is made; does not depend on the workers.
 */
final class RelativeStrain {

    private static final int TERMS = 6;
    private static final int PASSES = 5;
    private static final int MOST_SAMPLES = 1200;
    private static final double TUKEY = 4.685;

    /** Scatter of strain that no noise explains, as a share of it; keeps weights even. */
    private static final double NATURAL_SCATTER = 0.1;

    /** Share of the median of the smooth field below which there is nothing to relate to. */
    private static final double LEAST_SHARE = 0.2;

    private final StrainLayout layout;
    private final Workers workers;
    private final int lines;
    private final int rows;
    private final int lineStep;
    private final int rowStep;
    private final float[] relative;
    private final float[] deviation;
    private final boolean[] trusted;

    private final double[] basis = new double[TERMS];
    private final double[] value = new double[MOST_SAMPLES];
    private final double[] noise = new double[MOST_SAMPLES];
    private final double[] across = new double[MOST_SAMPLES];
    private final double[] down = new double[MOST_SAMPLES];
    private final double[] residual = new double[MOST_SAMPLES];
    private final double[] sorted = new double[MOST_SAMPLES];
    private final DMatrixRMaj normal = new DMatrixRMaj(TERMS, TERMS);
    private final DMatrixRMaj right = new DMatrixRMaj(TERMS, 1);
    private final DMatrixRMaj solution = new DMatrixRMaj(TERMS, 1);
    private final DMatrixRMaj accepted = new DMatrixRMaj(TERMS, 1);
    private final LinearSolverDense<DMatrixRMaj> solver = LinearSolverFactory_DDRM.chol(TERMS);
    private final Workers.Task divide = (line, worker) -> divideLine(line);

    private StrainImage image;
    private double least;
    private double typical;

    RelativeStrain(StrainLayout layout, Workers workers) {
        this.layout = layout;
        this.workers = workers;
        lines = layout.geometry().lines();
        rows = layout.grid().rows();
        // About as many places along as across, and no more than are needed for a smooth field.
        lineStep = Math.max(1, (lines + 31) / 32);
        int most = MOST_SAMPLES / ((lines + lineStep - 1) / lineStep);
        rowStep = Math.max(1, (rows + most - 1) / most);
        relative = new float[layout.planeSize()];
        deviation = new float[layout.planeSize()];
        trusted = new boolean[layout.planeSize()];
    }

    /**
     * Divides an image by its smooth field.
     *
     * @return whether there was enough to fit one; if not, nothing is trusted
     */
    boolean update(StrainImage newImage) {
        image = newImage;
        int count = gather();
        boolean fitted = count >= 4 * TERMS && fit(count);
        typical = Double.NaN;
        if (fitted) {
            for (int i = 0; i < count; i++) {
                sorted[i] = Math.abs(smooth(across[i], down[i]));
            }
            typical = Selection.median(sorted, count);
            least = LEAST_SHARE * typical;
            fitted = typical > 0;
        }
        if (fitted) {
            workers.run(lines, divide);
        } else {
            Arrays.fill(relative, Float.NaN);
            Arrays.fill(deviation, Float.NaN);
            Arrays.fill(trusted, false);
        }
        image = null;
        return fitted;
    }

    private int gather() {
        float[] strain = image.axial();
        float[] sigma = image.axialDeviation();
        boolean[] usable = image.trusted();
        int count = 0;
        for (int line = lineStep / 2; line < lines; line += lineStep) {
            for (int row = rowStep / 2; row < rows; row += rowStep) {
                int at = line * rows + row;
                if (usable[at] && count < MOST_SAMPLES) {
                    value[count] = strain[at];
                    noise[count] = sigma[at];
                    across[count] = acrossOf(line);
                    down[count] = downOf(row);
                    count++;
                }
            }
        }
        return count;
    }

    private double acrossOf(int line) {
        return lines > 1 ? 2.0 * line / (lines - 1) - 1 : 0;
    }

    private double downOf(int row) {
        return rows > 1 ? 2.0 * row / (rows - 1) - 1 : 0;
    }

    private boolean fit(int count) {
        for (int i = 0; i < count; i++) {
            sorted[i] = value[i];
        }
        accepted.zero();
        accepted.data[0] = Selection.median(sorted, count);
        // From an even field on: the first residuals already tell what does not belong.
        double scale = Double.POSITIVE_INFINITY;
        for (int pass = 0; pass < PASSES; pass++) {
            normal.zero();
            right.zero();
            for (int i = 0; i < count; i++) {
                add(i, scale);
            }
            if (!solve()) {
                return false;
            }
            for (int i = 0; i < count; i++) {
                double b = smooth(across[i], down[i]);
                residual[i] = Math.abs(value[i] - b) / Math.max(Math.abs(b), 1e-12);
                sorted[i] = residual[i];
            }
            scale = Math.max(1e-6, TUKEY * Selection.median(sorted, count) / 0.6745);
        }
        return true;
    }

    private void add(int i, double scale) {
        double r = residual[i] / scale;
        if (scale < Double.POSITIVE_INFINITY && r >= 1) {
            return;
        }
        double keep = scale < Double.POSITIVE_INFINITY ? (1 - r * r) * (1 - r * r) : 1;
        double b = NATURAL_SCATTER * smooth(across[i], down[i]);
        double w = keep / (noise[i] * noise[i] + b * b + 1e-24);
        terms(across[i], down[i]);
        for (int j = 0; j < TERMS; j++) {
            right.data[j] += w * basis[j] * value[i];
            for (int k = 0; k <= j; k++) {
                normal.data[j * TERMS + k] += w * basis[j] * basis[k];
            }
        }
    }

    private boolean solve() {
        double trace = 0;
        for (int j = 0; j < TERMS; j++) {
            trace += normal.data[j * TERMS + j];
            for (int k = 0; k < j; k++) {
                normal.data[k * TERMS + j] = normal.data[j * TERMS + k];
            }
        }
        // Few lines or rows cannot tell all terms; a little resistance keeps those at 0.
        for (int j = 1; j < TERMS; j++) {
            normal.data[j * TERMS + j] += 1e-7 * trace;
        }
        if (!(trace > 0) || Double.isInfinite(trace) || !solver.setA(normal)) {
            return false;
        }
        solver.solve(right, solution);
        System.arraycopy(solution.data, 0, accepted.data, 0, TERMS);
        return true;
    }

    private void terms(double x, double z) {
        basis[0] = 1;
        basis[1] = z;
        basis[2] = z * z;
        basis[3] = x;
        basis[4] = x * z;
        basis[5] = x * x;
    }

    private double smooth(double x, double z) {
        double[] c = accepted.data;
        return c[0] + x * (c[3] + x * c[5]) + z * (c[1] + x * c[4] + z * c[2]);
    }

    private void divideLine(int line) {
        double x = acrossOf(line);
        double[] c = accepted.data;
        double c0 = c[0] + x * (c[3] + x * c[5]);
        double c1 = c[1] + x * c[4];
        double c2 = c[2];
        // Where the field has turned its sign there is nothing to relate to.
        double sign = Math.signum(c[0]);
        float[] strain = image.axial();
        float[] sigma = image.axialDeviation();
        boolean[] usable = image.trusted();
        int from = line * rows;
        for (int row = 0; row < rows; row++) {
            int at = from + row;
            double z = downOf(row);
            double b = c0 + z * (c1 + z * c2);
            if (usable[at] && b * sign > least) {
                relative[at] = (float) (strain[at] / b);
                deviation[at] = (float) (sigma[at] / Math.abs(b));
                trusted[at] = true;
            } else {
                relative[at] = Float.NaN;
                deviation[at] = Float.NaN;
                trusted[at] = false;
            }
        }
    }

    /** Median size of the smooth field of the last image; NaN if there was none. */
    double typicalStrain() {
        return typical;
    }

    float[] relative() {
        return relative;
    }

    float[] deviation() {
        return deviation;
    }

    boolean[] trusted() {
        return trusted;
    }

    StrainLayout layout() {
        return layout;
    }
}
