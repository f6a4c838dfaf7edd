package org.elasto.strain.measure;

import java.util.Arrays;
import org.elasto.api.Check;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;

/**
 * The cells of an image that a region covers, each with the area of it that lies in the region. A
 * cell reaches half-way to its neighbours; for a convex probe it is as wide as the lines are apart
 * there, so that deep cells count for more. The share of a cell inside is found from 16 points in
 * it.
 *
 * <p>Made once for a region, then used for every image of the grid. Immutable and thread-safe.
 */
public final class RegionMask {

    private static final int POINTS = 4;

    private final Region region;
    private final ScanGeometry geometry;
    private final RowGrid grid;
    private final int rows;
    private final int[] cells;
    private final float[] weights;
    private final double area;

    /**
     * Finds the cells of a region.
     *
     * @param region the region
     * @param geometry geometry of the scan
     * @param grid rows of the image
     * @throws IllegalArgumentException if no cell is in the region: with the extents of both if it
     *     lies outside the image, with the size of a cell if it is too small
     */
    public RegionMask(Region region, ScanGeometry geometry, RowGrid grid) {
        this.region = region;
        this.geometry = geometry;
        this.grid = grid;
        rows = grid.rows();
        int[] found = new int[64];
        float[] areas = new float[64];
        int count = 0;
        double sum = 0;
        for (int line = 0; line < geometry.lines(); line++) {
            for (int row = 0; row < rows; row++) {
                double depth = grid.depth(row);
                double width = geometry.lineSpacing(depth);
                if (!mayCover(geometry.x(line, depth), geometry.z(line, depth), width)) {
                    continue;
                }
                double share = share(line, row);
                if (share > 0) {
                    if (count == found.length) {
                        found = Arrays.copyOf(found, 2 * count);
                        areas = Arrays.copyOf(areas, 2 * count);
                    }
                    found[count] = line * rows + row;
                    areas[count] = (float) (share * width * grid.spacing());
                    sum += areas[count];
                    count++;
                }
            }
        }
        if (count == 0) {
            throw nothingCovered();
        }
        cells = Arrays.copyOf(found, count);
        weights = Arrays.copyOf(areas, count);
        area = sum;
    }

    private boolean mayCover(double x, double z, double width) {
        double reach = width + grid.spacing();
        return x >= region.minX() - reach
                && x <= region.maxX() + reach
                && z >= region.minZ() - reach
                && z <= region.maxZ() + reach;
    }

    private double share(int line, int row) {
        int inside = 0;
        for (int i = 0; i < POINTS; i++) {
            double l = line + (i + 0.5) / POINTS - 0.5;
            for (int j = 0; j < POINTS; j++) {
                double depth = grid.depth(row + (j + 0.5) / POINTS - 0.5);
                inside += region.contains(geometry.x(l, depth), geometry.z(l, depth)) ? 1 : 0;
            }
        }
        return (double) inside / (POINTS * POINTS);
    }

    private IllegalArgumentException nothingCovered() {
        double x = region.centreX();
        double z = region.centreZ();
        double line = geometry.lineAt(x, z);
        double row = grid.rowAt(geometry.depthAt(x, z));
        boolean within =
                line >= -0.5
                        && line <= geometry.lines() - 0.5
                        && row >= -0.5
                        && row <= grid.rows() - 0.5;
        if (within) {
            return new IllegalArgumentException(
                    "region "
                            + region.toText()
                            + " mm is too small; a cell of the image is "
                            + RegionText.write("", geometry.lineSpacing(0) * 1e3).trim()
                            + " mm wide and "
                            + RegionText.write("", grid.spacing() * 1e3).trim()
                            + " mm deep");
        }
        double last = geometry.lines() - 1;
        return new IllegalArgumentException(
                "region "
                        + region.toText()
                        + " mm lies outside the image, whose outermost lines reach from x = "
                        + RegionText.write("", geometry.x(0, grid.lastDepth()) * 1e3).trim()
                        + " to "
                        + RegionText.write("", geometry.x(last, grid.lastDepth()) * 1e3).trim()
                        + " mm and whose rows from "
                        + RegionText.write("", grid.firstDepth() * 1e3).trim()
                        + " to "
                        + RegionText.write("", grid.lastDepth() * 1e3).trim()
                        + " mm of depth");
    }

    /**
     * The region.
     *
     * @return the region this mask was made of
     */
    public Region region() {
        return region;
    }

    /**
     * Number of cells that lie in the region, wholly or in part.
     *
     * @return the number, at least 1
     */
    public int size() {
        return cells.length;
    }

    /**
     * Where a cell stands in a plane of the image, line after line.
     *
     * @param i 0 to {@link #size} less 1; in rising order of the cells
     * @return line times rows plus row
     */
    public int cell(int i) {
        return cells[i];
    }

    /**
     * How much of a cell lies in the region.
     *
     * @param i 0 to {@link #size} less 1
     * @return area (m&sup2;)
     */
    public double weight(int i) {
        return weights[i];
    }

    /**
     * How much of the region lies in the image.
     *
     * @return area (m&sup2;)
     */
    public double area() {
        return area;
    }

    /**
     * Share of the region that lies in the image.
     *
     * @return above 0, up to 1
     */
    public double shareInImage() {
        return Math.min(1, area / region.area());
    }

    /**
     * The cells at least half of which lie in the region, as a mask over the image.
     *
     * @return a new plane, true inside, line after line
     */
    public boolean[] toPlane() {
        boolean[] plane = new boolean[planeSize()];
        for (int i = 0; i < cells.length; i++) {
            double depth = grid.depth(cells[i] % rows);
            plane[cells[i]] = weights[i] >= 0.5 * geometry.lineSpacing(depth) * grid.spacing();
        }
        return plane;
    }

    /**
     * Mean of any plane over the region, each cell weighing its area.
     *
     * @param plane values, line after line
     * @param usable which may be taken, or null for all; those that are NaN never are
     * @return mean, NaN if there is nothing to take
     * @throws IllegalArgumentException if a size is another than the image's, with both
     */
    public double mean(float[] plane, boolean[] usable) {
        checkSize("plane", plane.length);
        if (usable != null) {
            checkSize("mask", usable.length);
        }
        double sum = 0;
        double total = 0;
        for (int i = 0; i < cells.length; i++) {
            float value = plane[cells[i]];
            if ((usable == null || usable[cells[i]]) && !Float.isNaN(value)) {
                sum += (double) weights[i] * value;
                total += weights[i];
            }
        }
        return sum / total;
    }

    private void checkSize(String name, int length) {
        Check.same("size of the " + name, length, planeSize());
    }

    private int planeSize() {
        return geometry.lines() * rows;
    }
}
