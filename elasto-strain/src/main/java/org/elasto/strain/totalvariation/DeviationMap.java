package org.elasto.strain.totalvariation;

import org.elasto.api.FieldLayout;
import org.elasto.api.Workers;

/**
 * Root mean square, over the neighbourhood of each place, of how strain changed from one solution
 * to another, per deviation of displacement. Means run over a rectangle around the place, cut off
 * at the edges.
 */
final class DeviationMap {

    /** Reach of the neighbourhood to either side (m). */
    private static final double REACH = 5e-3;

    private final int lines;
    private final int rows;
    private final double spacing;
    private final int rowReach;
    private final int lineReach;
    private final double[][] squares;
    private final double[][] mean;
    private final double[][] scratch;
    private final Workers workers;
    private final Workers.Task alongLine = this::sumLine;
    private final Workers.Task acrossRow = (row, worker) -> averageRow(row);
    private double[][] first;
    private double[][] second;

    DeviationMap(int lines, int rows, double spacing, FieldLayout layout, Workers workers) {
        this.lines = lines;
        this.rows = rows;
        this.spacing = spacing;
        this.workers = workers;
        rowReach = (int) Math.min(rows, Math.round(REACH / spacing));
        double middle = (layout.geometry().firstDepth() + layout.geometry().lastDepth()) / 2;
        lineReach =
                (int) Math.min(lines, Math.round(REACH / layout.geometry().lineSpacing(middle)));
        squares = new double[rows][lines];
        mean = new double[rows][lines];
        scratch = new double[workers.count()][rows + 1];
    }

    /**
     * Measures.
     *
     * @param newFirst displacement of one solution, row by row
     * @param newSecond displacement of another
     */
    void measure(double[][] newFirst, double[][] newSecond) {
        first = newFirst;
        second = newSecond;
        workers.run(lines, alongLine);
        workers.run(rows, acrossRow);
    }

    double at(int line, int row) {
        return mean[row][line];
    }

    /** Means along a line, from running sums. */
    private void sumLine(int line, int worker) {
        double[] sum = scratch[worker];
        sum[0] = 0;
        for (int r = 0; r < rows; r++) {
            int above = Math.max(0, r - 1);
            int below = Math.min(rows - 1, r + 1);
            double change =
                    second[below][line]
                            - first[below][line]
                            - (second[above][line] - first[above][line]);
            double strain = change / (Math.max(1, below - above) * spacing);
            sum[r + 1] = sum[r] + strain * strain;
        }
        for (int r = 0; r < rows; r++) {
            int from = Math.max(0, r - rowReach);
            int to = Math.min(rows - 1, r + rowReach);
            squares[r][line] = (sum[to + 1] - sum[from]) / (to + 1 - from);
        }
    }

    private void averageRow(int row) {
        double[] x = squares[row];
        double[] y = mean[row];
        double sum = 0;
        int from = 0;
        int to = -1;
        for (int l = 0; l < lines; l++) {
            while (to < Math.min(lines - 1, l + lineReach)) {
                sum += x[++to];
            }
            while (from < l - lineReach) {
                sum -= x[from++];
            }
            y[l] = Math.sqrt(Math.max(0, sum) / (to + 1 - from));
        }
    }
}
