package org.elasto.strain.totalvariation;

import org.elasto.api.FieldLayout;
import org.elasto.api.Workers;

/**
 * Root mean square, over the neighbourhood of each place, of how strain changed from one solution
 * to another, per deviation of displacement. Means run over a rectangle around the place, cut off
 * at the edges.
 */
final class DeviationMap {

    /** Reach of the neighbourhood up and down (m). */
    private static final double REACH = 4e-3;

    /** Reach to either side (m). */
    private static final double REACH_ACROSS = 6e-3;

    private final int lines;
    private final int rows;
    private final double spacing;
    private final int rowReach;
    private final int lineReach;
    private final double[][] squares;
    private final double[][] counts;
    private final double[][] mean;
    private final double[][][] scratch;
    private final Workers workers;
    private final Workers.Task alongLine = this::sumLine;
    private final Workers.Task acrossRow = (row, worker) -> averageRow(row);
    private double[][] first;
    private double[][] second;
    private double[][] weight;

    DeviationMap(int lines, int rows, double spacing, FieldLayout layout, Workers workers) {
        this.lines = lines;
        this.rows = rows;
        this.spacing = spacing;
        this.workers = workers;
        rowReach = (int) Math.min(rows, Math.round(REACH / spacing));
        double middle = (layout.geometry().firstDepth() + layout.geometry().lastDepth()) / 2;
        lineReach =
                (int)
                        Math.min(
                                lines,
                                Math.round(REACH_ACROSS / layout.geometry().lineSpacing(middle)));
        squares = new double[rows][lines];
        counts = new double[rows][lines];
        mean = new double[rows][lines];
        scratch = new double[workers.count()][2][rows + 1];
    }

    /**
     * Measures.
     *
     * @param newFirst displacement of one solution, row by row
     * @param newSecond displacement of another
     * @param newWeight weight of what was measured, 0 where unknown
     */
    void measure(double[][] newFirst, double[][] newSecond, double[][] newWeight) {
        first = newFirst;
        second = newSecond;
        weight = newWeight;
        workers.run(lines, alongLine);
        workers.run(rows, acrossRow);
    }

    double at(int line, int row) {
        return mean[row][line];
    }

    /** Means along a line, from running sums. */
    private void sumLine(int line, int worker) {
        double[] sum = scratch[worker][0];
        double[] count = scratch[worker][1];
        for (int r = 0; r < rows; r++) {
            int above = Math.max(0, r - 1);
            int below = Math.min(rows - 1, r + 1);
            double change =
                    second[below][line]
                            - first[below][line]
                            - (second[above][line] - first[above][line]);
            double strain = change / (Math.max(1, below - above) * spacing);
            boolean known = weight[r][line] > 0;
            sum[r + 1] = sum[r] + (known ? strain * strain : 0);
            count[r + 1] = count[r] + (known ? 1 : 0);
        }
        for (int r = 0; r < rows; r++) {
            int from = Math.max(0, r - rowReach);
            int to = Math.min(rows - 1, r + rowReach);
            squares[r][line] = sum[to + 1] - sum[from];
            counts[r][line] = count[to + 1] - count[from];
        }
    }

    private void averageRow(int row) {
        double[] x = squares[row];
        double[] n = counts[row];
        double[] y = mean[row];
        for (int l = 0; l < lines; l++) {
            int to = Math.min(lines - 1, l + lineReach);
            double sum = 0;
            double count = 0;
            for (int i = Math.max(0, l - lineReach); i <= to; i++) {
                sum += x[i];
                count += n[i];
            }
            // Without a known place in reach nothing asks for it.
            y[l] = Math.sqrt(sum / Math.max(1, count));
        }
    }
}
