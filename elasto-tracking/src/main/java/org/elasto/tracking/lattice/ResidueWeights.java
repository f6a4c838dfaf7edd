package org.elasto.tracking.lattice;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.IntToDoubleFunction;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import org.elasto.tracking.shared.GaussianWindow;

/**
 * From the phase that blocks have left over to the variance of a window's phase.
 *
 * <p>Noise n of the blocks is averaged by the window w once, and what is left over once more: the
 * displacement errs by {@code (2 w - w * w) n}. The blocks have {@code (1 - w) n} left over when
 * that is looked at, between the two; its covariances c over a few blocks and lines are measured. A
 * weighted sum of them is the variance of the displacement's phase, if the weights suit what the
 * noise is like. That is not known, so the weights are those of least mean square relative error
 * over all that it can be:
 *
 * <ul>
 *   <li>along the line independent from block to block, or partly the derivative of something that
 *       is: what strain within a block makes;
 *   <li>across the lines independent (electronic noise), or going together over a beam that is
 *       narrow or wide against the pitch (tissue that changed);
 *   <li>with a little of what the start of the search has wrong, which goes together over a cell
 *       and which the windows take away instead of averaging it.
 * </ul>
 *
 * <p>To solve for the covariances of n instead, without such a list, amplifies whatever goes
 * together over more than a window, since the window has taken most of it away.
 */
final class ResidueWeights {

    /** Blocks along the line over which covariances are measured, 0 among them. */
    static final int AXIAL_LAGS = 3;

    /** Lines over which they are measured, 0 among them: what lies within a tile. */
    static final int LATERAL_LAGS = LatticeFrame.TILE;

    /** Correlation of tissue's noise between neighbouring lines; over d lines to the power d^2. */
    private static final double[] NEIGHBOURS = {0, 0.35, 0.67, 0.82};

    /**
     * Correlation with the next blocks along the line: of none, and of the derivative of something
     * in a smaller and a greater part.
     */
    private static final double[][] BLOCKS = {{0, 0}, {-0.2, 0}, {-0.4, 0.04}};

    /** Power of the start's errors over that of the noise of single blocks. */
    private static final double[] STARTS = {0.02, 0.05};

    /** Deviation of the smoothing of the start: blocks along, lines across. */
    private static final double START_ALONG = 4;

    private static final double START_ACROSS = 3;

    /** Against errors of the measured covariances, as a share of their own squares. */
    private static final double RIDGE = 1e-3;

    /** Farthest lag at which a covariance is other than 0. */
    private static final int FARTHEST = 24;

    /** {@code (1 - w)^2}: what is left over, by powers of the window. */
    private static final double[] LEFT = {1, -2, 1};

    /** {@code (2 w - w^2)^2}: what noise makes of the displacement. */
    private static final double[] AVERAGED = {0, 0, 4, -4, 1};

    /** {@code (1 - w)^4}: what remains of the start's errors. */
    private static final double[] REMAINING = {1, -4, 6, -4, 1};

    /** Covariances of something, as a product of those along the line and across the lines. */
    private record Kind(IntToDoubleFunction along, IntToDoubleFunction across) {}

    private final double[][] along;
    private final double[][] across;
    private final int lateralLags;
    private final int width;

    private ResidueWeights(
            GaussianWindow along, GaussianWindow across, int lateralLags, int width) {
        this.width = width;
        this.along = powers(along);
        this.across = powers(across);
        this.lateralLags = lateralLags;
    }

    /**
     * The weights.
     *
     * @param along window along the line, in blocks
     * @param across window across the lines
     * @param lateralLags number of strips over which covariances are known, at least 1
     * @param width lines of a strip
     * @return weight of the covariance a blocks and l strips apart, {@code [a][l]}; 0 for l beyond
     *     the lateral lags
     */
    static double[][] of(GaussianWindow along, GaussianWindow across, int lateralLags, int width) {
        return new ResidueWeights(along, across, lateralLags, width).solve();
    }

    /** The window convolved with itself, from no to four times, the middle in the middle. */
    private static double[][] powers(GaussianWindow window) {
        double[][] powers = new double[AVERAGED.length][];
        powers[0] = new double[] {1};
        for (int i = 1; i < powers.length; i++) {
            double[] before = powers[i - 1];
            int half = window.halfWidth();
            powers[i] = new double[before.length + 2 * half];
            for (int k = 0; k < before.length; k++) {
                for (int j = -half; j <= half; j++) {
                    powers[i][k + j + half] += before[k] * window.tap(j);
                }
            }
        }
        return powers;
    }

    private static double at(IntToDoubleFunction covariance, double[] power, int lag) {
        double sum = 0;
        int middle = power.length / 2;
        for (int k = 0; k < power.length; k++) {
            int distance = Math.abs(lag - (k - middle));
            sum += distance <= FARTHEST ? power[k] * covariance.applyAsDouble(distance) : 0;
        }
        return sum;
    }

    /** Covariance at a lag after a filter that is a polynomial of the window. */
    private double filtered(Kind kind, double[] polynomial, int a, int l) {
        double sum = 0;
        for (int i = 0; i < polynomial.length; i++) {
            double deep = polynomial[i] * at(kind.along, along[i], a);
            sum += deep == 0 ? 0 : deep * at(kind.across, across[i], l);
        }
        return sum;
    }

    private double[] leftOver(Kind kind) {
        double[] result = new double[AXIAL_LAGS * lateralLags];
        for (int i = 0; i < result.length; i++) {
            result[i] = filtered(kind, LEFT, i / lateralLags, i % lateralLags);
        }
        return result;
    }

    /** What is left over of all that noise can be, each over the variance that it makes. */
    private List<double[]> all() {
        double startAcross = START_ACROSS / width;
        Kind start =
                new Kind(
                        d -> Math.exp(-d * d / (4 * START_ALONG * START_ALONG)),
                        d -> Math.exp(-d * d / (4 * startAcross * startAcross)));
        double[] startLeft = leftOver(start);
        double startMakes = filtered(start, REMAINING, 0, 0);
        List<double[]> all = new ArrayList<>();
        for (double neighbour : NEIGHBOURS) {
            IntToDoubleFunction beam = d -> d == 0 ? 1 : Math.pow(neighbour, width * width * d * d);
            for (double[] next : BLOCKS) {
                Kind noise = new Kind(d -> d == 0 ? 1 : d <= next.length ? next[d - 1] : 0, beam);
                double[] left = leftOver(noise);
                double makes = filtered(noise, AVERAGED, 0, 0);
                all.add(sum(left, startLeft, 0, makes));
                for (double share : next[0] == 0 ? STARTS : new double[0]) {
                    all.add(sum(left, startLeft, share, makes + share * startMakes));
                }
            }
        }
        return all;
    }

    private static double[] sum(double[] a, double[] b, double share, double over) {
        double[] result = new double[a.length];
        Arrays.setAll(result, i -> (a[i] + share * b[i]) / over);
        return result;
    }

    private double[][] solve() {
        RealMatrix kinds = new Array2DRowRealMatrix(all().toArray(double[][]::new));
        int n = kinds.getColumnDimension();
        double[] ones = new double[kinds.getRowDimension()];
        Arrays.fill(ones, 1);
        RealMatrix squares = kinds.transpose().multiply(kinds);
        double ridge = RIDGE * squares.getEntry(0, 0) / kinds.getRowDimension();
        for (int i = 0; i < n; i++) {
            squares.addToEntry(i, i, ridge);
        }
        double[] solved =
                new CholeskyDecomposition(squares)
                        .getSolver()
                        .solve(new ArrayRealVector(kinds.preMultiply(ones)))
                        .toArray();
        double[][] weights = new double[AXIAL_LAGS][LATERAL_LAGS];
        for (int i = 0; i < n; i++) {
            weights[i / lateralLags][i % lateralLags] = solved[i];
        }
        return weights;
    }
}
