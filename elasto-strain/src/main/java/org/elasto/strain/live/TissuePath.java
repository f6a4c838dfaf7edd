package org.elasto.strain.live;

import org.elasto.api.RowGrid;

/**
 * Where the tissue seen now was when the path began, from the motion that the scout saw from frame
 * to frame. Lets images of different moments be averaged in the place of the tissue rather than of
 * the probe.
 *
 * <p>Depths are followed for each group of scouted lines; the sideways place is one number for all.
 * One thread at a time; allocates nothing after it is made.
 */
final class TissuePath {

    private final MotionScout scout;
    private final double linePitch;
    private final int groups;
    private final int cells;
    private final double firstDepth;
    private final double cellDepth;
    private final double[][] origin;
    private final double[] fresh;
    private double sideways;

    TissuePath(MotionScout scout, double linePitch) {
        this.scout = scout;
        this.linePitch = linePitch;
        groups = scout.groups();
        cells = scout.cells();
        firstDepth = scout.depthOfCell(0);
        cellDepth = scout.depthOfCell(1) - firstDepth;
        origin = new double[groups][cells];
        fresh = new double[cells];
        begin();
    }

    /** Begins anew: tissue is where it is. */
    void begin() {
        for (double[] depths : origin) {
            for (int cell = 0; cell < cells; cell++) {
                depths[cell] = firstDepth + cell * cellDepth;
            }
        }
        sideways = 0;
    }

    /** Goes on by the scout's last comparison. */
    void advance() {
        for (int g = 0; g < groups; g++) {
            float[] d = scout.displacement(g);
            for (int cell = 0; cell < cells; cell++) {
                fresh[cell] = interpolate(origin[g], cell + d[cell] / cellDepth);
            }
            // Upside down would be no tissue; noise must not make it so.
            for (int cell = 0; cell < cells; cell++) {
                double least =
                        cell == 0
                                ? Double.NEGATIVE_INFINITY
                                : origin[g][cell - 1] + 0.2 * cellDepth;
                origin[g][cell] = Math.max(fresh[cell], least);
            }
        }
        sideways += scout.sideways();
    }

    private double interpolate(double[] y, double place) {
        // Rounds towards 0; below that the first two cells count anyway.
        int i = Math.max(0, Math.min(cells - 2, (int) place));
        if (cells == 1) {
            return y[0] + place * cellDepth;
        }
        return y[i] + (place - i) * (y[i + 1] - y[i]);
    }

    /** Whole line pitches that tissue has moved sideways since this was last asked. */
    int takeLines() {
        int pitches = (int) Math.rint(sideways / linePitch);
        // A little play, so that it does not go to and fro.
        if (Math.abs(sideways) < 0.75 * linePitch) {
            return 0;
        }
        sideways -= pitches * linePitch;
        return pitches;
    }

    /**
     * Rows of the first grid at which the tissue of each row of the second was when the path began.
     */
    void origins(int group, RowGrid now, RowGrid then, float[] into) {
        double first = (now.firstDepth() - firstDepth) / cellDepth;
        double step = now.spacing() / cellDepth;
        double perMetre = 1 / then.spacing();
        for (int row = 0; row < now.rows(); row++) {
            double depth = interpolate(origin[group], first + row * step);
            into[row] = (float) ((depth - then.firstDepth()) * perMetre);
        }
    }

    /** Rows of the first grid at which the tissue of each row of the second is now. */
    void places(int group, RowGrid then, RowGrid now, float[] into) {
        double[] y = origin[group];
        double first = (firstDepth - now.firstDepth()) / now.spacing();
        double rowsOfCell = cellDepth / now.spacing();
        int i = 0;
        double perStep = rowsOfCell / step(y, 0);
        for (int row = 0; row < then.rows(); row++) {
            double depth = then.firstDepth() + row * then.spacing();
            while (i < cells - 2 && y[i + 1] < depth) {
                i++;
                perStep = rowsOfCell / step(y, i);
            }
            into[row] = (float) (first + i * rowsOfCell + (depth - y[i]) * perStep);
        }
    }

    private double step(double[] y, int i) {
        return cells > 1 ? y[i + 1] - y[i] : cellDepth;
    }
}
