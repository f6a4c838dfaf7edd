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

    /** Exponents of depth and place across in each term. */
    private static final int[] Z_POWERS = {0, 1, 2, 0, 1, 0};

    private static final int[] X_POWERS = {0, 0, 0, 1, 1, 2};
    private static final int PASSES = 5;
    private static final int MOST_SAMPLES = 1200;

    /** Lines that are divided at once. */
    private static final int BLOCK = 8;

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

    /** Where each cell lies, from -1 to 1, and the smooth field there. */
    private final float[] cellAcross;

    private final float[] cellDown;
    private final float[] base;

    private final double[] value = new double[MOST_SAMPLES];
    private final double[] noise = new double[MOST_SAMPLES];

    /** Places of the samples, line after line: where each line begins, and all of them end. */
    private final int[] firstOfLine;

    private final double[] lineAcross;

    /** Where each row lies, from -1 to 1. */
    private final double[] rowDown;

    private int sampledLines;
    private final double[] down = new double[MOST_SAMPLES];
    private final double[] smooth = new double[MOST_SAMPLES];
    private final double[] residual = new double[MOST_SAMPLES];
    private final double[] weight = new double[MOST_SAMPLES];
    private final double[] sorted = new double[MOST_SAMPLES];
    private final DMatrixRMaj normal = new DMatrixRMaj(TERMS, TERMS);
    private final DMatrixRMaj right = new DMatrixRMaj(TERMS, 1);
    private final DMatrixRMaj solution = new DMatrixRMaj(TERMS, 1);
    private final DMatrixRMaj accepted = new DMatrixRMaj(TERMS, 1);
    private final LinearSolverDense<DMatrixRMaj> solver = LinearSolverFactory_DDRM.chol(TERMS);

    /** Sums of a line of samples: of w zⁿ and of w v zⁿ. */
    private final double[] moments = new double[5];

    private final double[] products = new double[3];

    /** Powers of the place across of a line of samples. */
    private final double[] powers = new double[5];

    private final int[] knownOfBlock;
    private final Workers.Task divide = (block, worker) -> divideBlock(block);

    /** The image between the two calls, and whether it has a smooth field. */
    private StrainImage image;

    private boolean fitted;

    /** Receives the quotient, in the call under way. */
    private RelativePlanes out;

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
        cellAcross = new float[layout.planeSize()];
        cellDown = new float[layout.planeSize()];
        base = new float[layout.planeSize()];
        for (int i = 0; i < base.length; i++) {
            cellAcross[i] = (float) acrossOf(i / rows);
            cellDown[i] = (float) downOf(i % rows);
        }
        firstOfLine = new int[lines + 1];
        lineAcross = new double[lines];
        rowDown = new double[rows];
        Arrays.setAll(rowDown, this::downOf);
        knownOfBlock = new int[(lines + BLOCK - 1) / BLOCK];
    }

    /**
     * Fits the smooth field of an image.
     *
     * @param newImage the image, which {@link #divideInto} will divide by it
     */
    void fitTo(StrainImage newImage) {
        image = newImage;
        int count = gather();
        fitted = count >= 4 * TERMS && fit(count);
        typical = Double.NaN;
        if (fitted) {
            for (int i = 0; i < count; i++) {
                sorted[i] = Math.abs(smooth[i]);
            }
            typical = Selection.median(sorted, count);
            least = LEAST_SHARE * typical;
            fitted = typical > 0;
        }
    }

    /**
     * Divides the image by its smooth field.
     *
     * @param into receives the quotient
     * @return whether there was enough to fit one; if not, nothing is trusted
     */
    boolean divideInto(RelativePlanes into) {
        Arrays.fill(knownOfBlock, 0);
        if (fitted) {
            out = into;
            workers.run(knownOfBlock.length, divide);
            out = null;
        } else {
            into.clear();
        }
        image = null;
        return fitted;
    }

    private int gather() {
        float[] strain = image.axial();
        float[] sigma = image.axialDeviation();
        boolean[] usable = image.trusted();
        int count = 0;
        sampledLines = 0;
        for (int line = lineStep / 2; line < lines; line += lineStep) {
            firstOfLine[sampledLines] = count;
            lineAcross[sampledLines++] = acrossOf(line);
            for (int row = rowStep / 2; row < rows; row += rowStep) {
                int at = line * rows + row;
                if (usable[at] && count < MOST_SAMPLES) {
                    value[count] = strain[at];
                    noise[count] = sigma[at];
                    down[count] = rowDown[row];
                    count++;
                }
            }
        }
        firstOfLine[sampledLines] = count;
        return count;
    }

    private double acrossOf(int line) {
        return lines > 1 ? 2.0 * line / (lines - 1) - 1 : 0;
    }

    private double downOf(int row) {
        return rows > 1 ? 2.0 * row / (rows - 1) - 1 : 0;
    }

    private boolean fit(int count) {
        accepted.zero();
        accepted.data[0] = median(value, count);
        Arrays.fill(smooth, 0, count, accepted.data[0]);
        Arrays.fill(residual, 0, count, 0);
        // From an even field on: the first residuals already tell what does not belong.
        double scale = Double.POSITIVE_INFINITY;
        for (int pass = 0; pass < PASSES; pass++) {
            normal.zero();
            right.zero();
            keep(weight, residual, scale, count);
            divideByVariance(weight, noise, smooth, count);
            for (int line = 0; line < sampledLines; line++) {
                addLine(line);
            }
            if (!solve()) {
                return false;
            }
            evaluate(count);
            if (pass == PASSES - 1) {
                break;
            }
            scale = Math.max(1e-6, TUKEY * median(residual, count) / 0.6745);
        }
        return true;
    }

    private double median(double[] values, int count) {
        System.arraycopy(values, 0, sorted, 0, count);
        return Selection.median(sorted, count);
    }

    private static void keep(double[] out, double[] residual, double scale, int n) {
        for (int i = 0; i < n; i++) {
            double r = residual[i] / scale;
            double keep = Math.max(0, 1 - r * r);
            out[i] = keep * keep;
        }
    }

    private static void divideByVariance(double[] out, double[] noise, double[] smooth, int n) {
        for (int i = 0; i < n; i++) {
            double b = NATURAL_SCATTER * smooth[i];
            out[i] /= noise[i] * noise[i] + b * b + 1e-24;
        }
    }

    /** Adds a line of samples to the normal equations: sums along it, then what stems from x. */
    private void addLine(int line) {
        double m0 = 0;
        double m1 = 0;
        double m2 = 0;
        double m3 = 0;
        double m4 = 0;
        double r0 = 0;
        double r1 = 0;
        double r2 = 0;
        for (int i = firstOfLine[line]; i < firstOfLine[line + 1]; i++) {
            double w = weight[i];
            double z = down[i];
            double wz = w * z;
            double wzz = wz * z;
            m0 += w;
            m1 += wz;
            m2 += wzz;
            m3 += wzz * z;
            m4 += wzz * z * z;
            r0 += w * value[i];
            r1 += wz * value[i];
            r2 += wzz * value[i];
        }
        double[] m = moments;
        m[0] = m0;
        m[1] = m1;
        m[2] = m2;
        m[3] = m3;
        m[4] = m4;
        products[0] = r0;
        products[1] = r1;
        products[2] = r2;
        powers[0] = 1;
        for (int n = 1; n < powers.length; n++) {
            powers[n] = powers[n - 1] * lineAcross[line];
        }
        for (int j = 0; j < TERMS; j++) {
            right.data[j] += powers[X_POWERS[j]] * products[Z_POWERS[j]];
            for (int k = 0; k <= j; k++) {
                normal.data[j * TERMS + k] +=
                        powers[X_POWERS[j] + X_POWERS[k]] * m[Z_POWERS[j] + Z_POWERS[k]];
            }
        }
    }

    /** The smooth field at the samples, and how far they are off it. */
    private void evaluate(int count) {
        double[] c = accepted.data;
        for (int line = 0; line < sampledLines; line++) {
            double x = lineAcross[line];
            double c0 = c[0] + x * (c[3] + x * c[5]);
            double c1 = c[1] + x * c[4];
            double c2 = c[2];
            for (int i = firstOfLine[line]; i < firstOfLine[line + 1]; i++) {
                smooth[i] = c0 + down[i] * (c1 + down[i] * c2);
            }
        }
        compare(residual, value, smooth, count);
    }

    private static void compare(double[] out, double[] value, double[] smooth, int n) {
        for (int i = 0; i < n; i++) {
            out[i] = Math.abs(value[i] - smooth[i]) / Math.max(Math.abs(smooth[i]), 1e-12);
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

    private void divideBlock(int block) {
        int from = block * BLOCK * rows;
        int end = Math.min(lines, (block + 1) * BLOCK) * rows;
        float[] strain = image.axial();
        float[] sigma = image.axialDeviation();
        boolean[] usable = image.trusted();
        float[] relative = out.relative();
        float[] deviation = out.deviation();
        boolean[] trusted = out.trusted();
        double[] c = accepted.data;
        parabola(base, cellDown, (float) c[0], (float) c[1], (float) c[2], from, end);
        addParabola(
                base, cellAcross, cellDown, (float) c[3], (float) c[4], (float) c[5], from, end);
        divide(relative, strain, base, from, end);
        divideBySize(deviation, sigma, base, from, end);
        // Where the field has turned its sign there is nothing to relate to.
        float sign = (float) Math.signum(c[0]);
        float limit = (float) least;
        int known = 0;
        for (int at = from; at < end; at++) {
            boolean trust = usable[at] && base[at] * sign > limit;
            trusted[at] = trust;
            if (trust) {
                known++;
            } else {
                relative[at] = Float.NaN;
                deviation[at] = Float.NaN;
            }
        }
        knownOfBlock[block] = known;
    }

    private static void parabola(
            float[] out, float[] z, float c0, float c1, float c2, int from, int end) {
        for (int i = from; i < end; i++) {
            out[i] = c0 + z[i] * (c1 + z[i] * c2);
        }
    }

    private static void addParabola(
            float[] out, float[] x, float[] z, float c3, float c4, float c5, int from, int end) {
        for (int i = from; i < end; i++) {
            out[i] += x[i] * (c3 + z[i] * c4 + x[i] * c5);
        }
    }

    private static void divide(float[] out, float[] x, float[] by, int from, int end) {
        for (int i = from; i < end; i++) {
            out[i] = x[i] / by[i];
        }
    }

    private static void divideBySize(float[] out, float[] x, float[] by, int from, int end) {
        for (int i = from; i < end; i++) {
            out[i] = x[i] / Math.abs(by[i]);
        }
    }

    /** Number of places of the last image that are trusted. */
    int known() {
        int sum = 0;
        for (int each : knownOfBlock) {
            sum += each;
        }
        return sum;
    }

    /** Median size of the smooth field of the last image; NaN if there was none. */
    double typicalStrain() {
        return typical;
    }

    StrainLayout layout() {
        return layout;
    }
}
