package org.elasto.strain.shared;

import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;

/**
 * The window of rows through which a line is laid: {@code half} rows to either side of its middle.
 *
 * @param half rows to either side, at least 1
 * @param spacing distance between rows (m)
 * @param usableShare smallest share of the rows that must be known
 * @param errors correlation of the errors of rows 1, 2, ... apart, as far as it matters
 */
public record RowWindow(int half, double spacing, double usableShare, double[] errors) {

    /** Correlations below this change a predicted deviation by less than a float can hold. */
    private static final double NEGLIGIBLE = 1e-7;

    /**
     * The window that comes closest to a depth.
     *
     * @param parameter name of the parameter that gives the depth, for messages
     * @param depth depth from the first to the last row (m)
     * @param usableShare smallest share of the rows that must be known
     * @param layout layout of the displacement fields
     * @return the window
     * @throws IllegalArgumentException if that is less than two row spacings, or if the field has
     *     fewer rows than must be known
     */
    public static RowWindow of(
            String parameter, double depth, double usableShare, FieldLayout layout) {
        RowGrid grid = layout.grid();
        double spacing = grid.spacing();
        int half = (int) Math.round(depth / (2 * spacing));
        if (half < 1) {
            throw new IllegalArgumentException(
                    parameter
                            + " is "
                            + depth
                            + " m; with rows "
                            + spacing
                            + " m apart it must be at least "
                            + spacing
                            + " m");
        }
        int length = 2 * half + 1;
        int needed = needed(length, usableShare);
        if (grid.rows() < needed) {
            throw new IllegalArgumentException(
                    parameter
                            + " is "
                            + depth
                            + " m, which is "
                            + length
                            + " rows, of which "
                            + needed
                            + " must be known; the field has "
                            + grid.rows());
        }
        return new RowWindow(
                half, spacing, usableShare, lags(layout.axialErrors(), spacing, length - 1));
    }

    /**
     * Known values that a window of so many needs; never fewer than a line needs.
     *
     * @param length values of the window
     * @param usableShare smallest share that must be known
     * @return the number
     */
    public static int needed(int length, double usableShare) {
        return Math.max(2, (int) Math.ceil(usableShare * length - 1e-9));
    }

    /**
     * Correlation of the errors of rows 1, 2, ... apart, as far as it matters.
     *
     * @param correlation how errors go together
     * @param spacing distance between rows (m)
     * @param most largest number of rows apart that is asked for
     * @return the correlations
     */
    public static double[] lags(ErrorCorrelation correlation, double spacing, int most) {
        int count = 0;
        while (count < most && correlation.at((count + 1) * spacing) > NEGLIGIBLE) {
            count++;
        }
        double[] lags = new double[count];
        for (int d = 0; d < count; d++) {
            lags[d] = correlation.at((d + 1) * spacing);
        }
        return lags;
    }

    /**
     * Known rows that the window needs.
     *
     * @return the number, 2 at least
     */
    public int needed() {
        return needed(length(), usableShare);
    }

    /**
     * Number of rows.
     *
     * @return twice {@link #half} and one
     */
    public int length() {
        return 2 * half + 1;
    }

    /**
     * Depth over which the response to a step of strain rises from 10 % to 90 %, with equal
     * weights.
     *
     * <p>The slope is a weighted mean of the strains between neighbouring rows, and these weights
     * are {@code k[j] = 3 (h(h+1) - j(j+1)) / (2 h(h+1)(2h+1))} for the interval from row j to j +
     * 1 of the window. The response is their running sum, a straight line between rows. (In the
     * limit of many rows it is {@code (2 + 3y - y³)/4}, y the distance in half windows, and the
     * rise takes 0.608 of the depth of the window.)
     *
     * @return depth (m)
     */
    public double resolution() {
        double h = half;
        double all = 2 * h * (h + 1) * (2 * h + 1) / 3;
        double sum = 0;
        double from = Double.NaN;
        for (int j = -half; j < half; j++) {
            double step = (h * (h + 1) - j * (j + 1.0)) / all;
            if (sum < 0.1 && sum + step >= 0.1) {
                from = j + (0.1 - sum) / step;
            }
            sum += step;
        }
        // The response is symmetric about the middle of the window.
        return -2 * from * spacing;
    }
}
