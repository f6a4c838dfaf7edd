package org.elasto.strain.measure;

import java.util.Arrays;
import org.elasto.api.Check;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * Finds the outline of an inclusion: the contour half-way between the mean inside and the mean of
 * the surroundings (half contrast; marching squares, common practice, no source), in any plane on a
 * grid of the scan: strain, or the levels of an echo picture, so that both sizes can be compared.
 *
 * <p>The plane is smoothed first by a Gaussian, as far as it is usable: without that, noise frays
 * the contour, and speckle leaves none. Corners of the contour lie between a cell inside and its
 * neighbour outside, linearly interpolated; cells that only touch at a corner count as apart. Of
 * several pieces the one counts that fills most of the region given as inside; holes in it are
 * filled.
 *
 * <p><b>Limits.</b> Blur moves the contour of a round body with radius r by about {@code s² / (2
 * r)} inwards for a Gaussian of deviation s, the image's own blur included. Around a stiff
 * inclusion strain is uneven, so the contour at half contrast is not exactly the edge. An inclusion
 * that reaches the edge of the image, or of what is usable, has no outline.
 *
 * <p>Owns its workspace: one thread at a time.
 */
public final class InclusionOutline {

    /** Deviations after which a Gaussian is cut off. */
    private static final double REACH = 3;

    /** Share of a Gaussian's weight that must be usable; half lies beyond a straight edge. */
    private static final double NEEDED = 0.5;

    private static final int[] LINE_STEP = {1, 0, -1, 0};
    private static final int[] ROW_STEP = {0, 1, 0, -1};

    private final ScanGeometry geometry;
    private final RowGrid grid;
    private final int lines;
    private final int rows;
    private final double smoothing;
    private final float[] smooth;
    private final float[] value;
    private final float[] weight;
    private final float[] across;
    private final float[] acrossWeight;
    private final boolean[] inside;
    private final int[] piece;
    private final int[] stack;

    /**
     * An outline finder for planes of one grid.
     *
     * @param geometry geometry of the scan
     * @param grid rows of the plane
     * @param smoothing standard deviation of the Gaussian (m), 0 for none, up to 20 mm; 0.5 mm to 1
     *     mm for speckle
     */
    public InclusionOutline(ScanGeometry geometry, RowGrid grid, double smoothing) {
        this.geometry = geometry;
        this.grid = grid;
        this.smoothing = Check.range("smoothing", smoothing, 0, 20e-3, "m");
        lines = geometry.lines();
        rows = grid.rows();
        int size = lines * rows;
        smooth = new float[size];
        value = new float[size];
        weight = new float[size];
        across = new float[size];
        acrossWeight = new float[size];
        inside = new boolean[size];
        piece = new int[size];
        stack = new int[size];
    }

    /**
     * Measures an inclusion.
     *
     * @param plane what is shown, line after line
     * @param usable which cells may be used, or null for all; those that are NaN never are
     * @param within a region that lies well inside the inclusion
     * @param surroundings a region of the tissue around it, not touching it
     * @return its size, or what stands in the way
     * @throws IllegalArgumentException if a size is another than the grid's, with both, or a region
     *     lies outside the image
     */
    public InclusionSize measure(
            float[] plane, boolean[] usable, Region within, Region surroundings) {
        Check.same("size of the plane", plane.length, smooth.length);
        if (usable != null) {
            Check.same("size of the mask", usable.length, smooth.length);
        }
        RegionMask seed = new RegionMask(within, geometry, grid);
        double insideMean = seed.mean(plane, usable);
        double outsideMean = new RegionMask(surroundings, geometry, grid).mean(plane, usable);
        double level = (insideMean + outsideMean) / 2;
        if (Double.isNaN(level) || insideMean == outsideMean) {
            return none(
                    insideMean,
                    outsideMean,
                    Double.isNaN(level)
                            ? "one of the two regions has nothing usable in it"
                            : "inside and surroundings look alike");
        }
        smooth(plane, usable);
        boolean bright = insideMean > outsideMean;
        for (int i = 0; i < inside.length; i++) {
            // False where nothing is known.
            inside[i] = bright ? smooth[i] > level : smooth[i] < level;
        }
        int start = outermostCell(seed);
        if (start < 0) {
            return none(
                    insideMean,
                    outsideMean,
                    "after smoothing nothing of the inside is beyond half contrast");
        }
        return trace(start, level, insideMean, outsideMean);
    }

    private static InclusionSize none(double inside, double surroundings, String problem) {
        return new InclusionSize(null, inside, surroundings, problem);
    }

    // ---------------------------------------------------------------- smoothing

    /** Weighted mean of the usable cells around each; NaN where too few of them are. */
    private void smooth(float[] plane, boolean[] usable) {
        for (int i = 0; i < plane.length; i++) {
            boolean use = (usable == null || usable[i]) && Float.isFinite(plane[i]);
            weight[i] = use ? 1 : 0;
            value[i] = use ? plane[i] : 0;
        }
        if (smoothing == 0) {
            for (int i = 0; i < plane.length; i++) {
                smooth[i] = weight[i] > 0 ? value[i] : Float.NaN;
            }
            return;
        }
        for (int row = 0; row < rows; row++) {
            // The lines of a convex probe are farther apart the deeper they are.
            float[] kernel = kernel(geometry.lineSpacing(grid.depth(row)), lines);
            for (int line = 0; line < lines; line++) {
                accumulate(value, weight, row, line, lines, rows, kernel, across, acrossWeight);
            }
        }
        float[] kernel = kernel(grid.spacing(), rows);
        for (int line = 0; line < lines; line++) {
            for (int row = 0; row < rows; row++) {
                accumulate(across, acrossWeight, line * rows, row, rows, 1, kernel, value, weight);
            }
        }
        for (int i = 0; i < smooth.length; i++) {
            smooth[i] = weight[i] >= NEEDED ? value[i] / weight[i] : Float.NaN;
        }
    }

    /** One value of a convolution along a row of cells that lie a step apart. */
    private static void accumulate(
            float[] from,
            float[] fromWeight,
            int offset,
            int at,
            int count,
            int step,
            float[] kernel,
            float[] to,
            float[] toWeight) {
        float sum = kernel[0] * from[offset + at * step];
        float weights = kernel[0] * fromWeight[offset + at * step];
        for (int k = 1; k < kernel.length; k++) {
            if (at - k >= 0) {
                sum += kernel[k] * from[offset + (at - k) * step];
                weights += kernel[k] * fromWeight[offset + (at - k) * step];
            }
            if (at + k < count) {
                sum += kernel[k] * from[offset + (at + k) * step];
                weights += kernel[k] * fromWeight[offset + (at + k) * step];
            }
        }
        to[offset + at * step] = sum;
        toWeight[offset + at * step] = weights;
    }

    /** The middle and one side of a Gaussian of unit sum. */
    private float[] kernel(double spacing, int count) {
        int half = (int) Math.min(count - 1.0, Math.ceil(REACH * smoothing / spacing));
        float[] kernel = new float[half + 1];
        double sum = 0;
        for (int k = 0; k <= half; k++) {
            double d = k * spacing / smoothing;
            kernel[k] = (float) Math.exp(-0.5 * d * d);
            sum += k == 0 ? kernel[k] : 2 * kernel[k];
        }
        for (int k = 0; k <= half; k++) {
            kernel[k] /= (float) sum;
        }
        return kernel;
    }

    // ---------------------------------------------------------------- contour

    /**
     * The cell of the highest line number of the piece that fills most of the seed, or -1 if no
     * piece has a cell in it.
     */
    private int outermostCell(RegionMask seed) {
        Arrays.fill(piece, 0);
        int pieces = 0;
        int best = -1;
        double most = 0;
        for (int i = 0; i < seed.size(); i++) {
            int cell = seed.cell(i);
            if (!inside[cell] || piece[cell] != 0) {
                continue;
            }
            pieces++;
            int outermost = fill(cell, pieces);
            double area = 0;
            for (int k = i; k < seed.size(); k++) {
                area += piece[seed.cell(k)] == pieces ? seed.weight(k) : 0;
            }
            if (area > most) {
                most = area;
                best = outermost;
            }
        }
        return best;
    }

    private int fill(int from, int number) {
        int outermost = from;
        int depth = 0;
        stack[depth++] = from;
        piece[from] = number;
        while (depth > 0) {
            int cell = stack[--depth];
            outermost = Math.max(outermost, cell);
            for (int d = 0; d < 4; d++) {
                int next = neighbour(cell, d);
                if (next >= 0 && inside[next] && piece[next] == 0) {
                    piece[next] = number;
                    stack[depth++] = next;
                }
            }
        }
        return outermost;
    }

    /** The cell beside another, or -1 beyond the image. */
    private int neighbour(int cell, int direction) {
        int line = cell / rows + LINE_STEP[direction];
        int row = cell % rows + ROW_STEP[direction];
        return line < 0 || line >= lines || row < 0 || row >= rows ? -1 : line * rows + row;
    }

    /** Follows the edge of a piece, the outside always on the same hand. */
    private InclusionSize trace(
            int start, double level, double insideMean, double surroundingsMean) {
        double[] x = new double[64];
        double[] z = new double[64];
        int count = 0;
        int cell = start;
        int out = 0;
        do {
            int beyond = neighbour(cell, out);
            if (beyond < 0 || Float.isNaN(smooth[beyond])) {
                return none(
                        insideMean,
                        surroundingsMean,
                        beyond < 0
                                ? "the outline reaches the edge of the image"
                                : "the outline reaches places that are not trusted");
            }
            if (count == x.length) {
                x = Arrays.copyOf(x, 2 * count);
                z = Arrays.copyOf(z, 2 * count);
            }
            double share = (level - smooth[cell]) / ((double) smooth[beyond] - smooth[cell]);
            double line = cell / rows + share * LINE_STEP[out];
            double depth = grid.depth(cell % rows + share * ROW_STEP[out]);
            x[count] = geometry.x(line, depth);
            z[count] = geometry.z(line, depth);
            count++;

            int along = (out + 1) % 4;
            int next = neighbour(cell, along);
            if (next < 0 || !inside[next]) {
                out = along;
            } else {
                int corner = neighbour(next, out);
                if (corner < 0 || !inside[corner]) {
                    cell = next;
                } else {
                    cell = corner;
                    out = (out + 3) % 4;
                }
            }
        } while (cell != start || out != 0);
        PolygonRegion outline =
                PolygonRegion.ofOutline(Arrays.copyOf(x, count), Arrays.copyOf(z, count));
        return new InclusionSize(outline, insideMean, surroundingsMean, "");
    }
}
