package org.elasto.recordings;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.recordings.array.StoredArray;
import org.elasto.recordings.hdf5.Hdf5Input;

/**
 * The true motion of a synthetic recording: HDF5 with {@code axial_displacement_m} and {@code
 * lateral_displacement_m} [pair, line, depth], from frame k to frame k + 1 at the place a tissue
 * point has in frame k; the evenly spaced {@code depth_m} and {@code lateral_m} they are given at;
 * and {@code inclusions_x_z_radius_stiffness}.
 *
 * <p>Not thread-safe.
 */
public final class TruthFile implements Closeable {

    private static final String AXIAL = "/axial_displacement_m";
    private static final String LATERAL = "/lateral_displacement_m";
    private static final String DEPTHS = "/depth_m";
    private static final String POSITIONS = "/lateral_m";
    private static final String INCLUSIONS = "/inclusions_x_z_radius_stiffness";

    /** How far a spacing may be off, relative to the spacing, for an axis to count as even. */
    private static final double UNEVEN = 1e-6;

    /**
     * A cylinder across the image plane.
     *
     * @param x lateral position of its axis (m)
     * @param z depth of its axis (m)
     * @param radius its radius (m)
     * @param stiffnessRatio how many times stiffer it is than its surroundings
     */
    public record Inclusion(double x, double z, double radius, double stiffnessRatio) {}

    private final Hdf5Input input;
    private final String file;
    private final StoredArray axial;
    private final StoredArray lateral;
    private final double[] depths;
    private final double[] positions;
    private final List<Inclusion> inclusions;

    /**
     * Opens a truth file.
     *
     * @param path the file
     * @throws IOException if it cannot be opened or is no truth file, naming what was expected and
     *     found
     */
    public TruthFile(Path path) throws IOException {
        file = path.toString();
        input = Hdf5Input.open(path);
        try {
            axial = input.array(AXIAL);
            lateral = input.array(LATERAL);
            depths = axis(DEPTHS);
            positions = axis(POSITIONS);
            inclusions = readInclusions();
            for (StoredArray array : List.of(axial, lateral)) {
                int[] expected = {axial.size(0), positions.length, depths.length};
                if (!Arrays.equals(array.shape(), expected)) {
                    throw new IOException(
                            array.label()
                                    + ": expected shape "
                                    + Arrays.toString(expected)
                                    + " [pair, line, depth], found "
                                    + Arrays.toString(array.shape()));
                }
            }
        } catch (IOException e) {
            input.close();
            throw e;
        }
    }

    private double[] axis(String name) throws IOException {
        StoredArray array = input.array(name);
        if (array.rank() != 1 || array.size(0) < 2) {
            throw new IOException(
                    array.label()
                            + ": expected one axis of at least 2 places, found shape "
                            + Arrays.toString(array.shape()));
        }
        double[] places = array.readNumbers();
        double spacing = spacing(places);
        for (int i = 0; i < places.length; i++) {
            if (!(Math.abs(places[i] - (places[0] + i * spacing)) <= UNEVEN * spacing)) {
                throw new IOException(
                        array.label()
                                + ": expected evenly spaced, growing places; place "
                                + i
                                + " is "
                                + places[i]);
            }
        }
        return places;
    }

    private static double spacing(double[] places) {
        return (places[places.length - 1] - places[0]) / (places.length - 1);
    }

    private List<Inclusion> readInclusions() throws IOException {
        StoredArray array = input.array(INCLUSIONS);
        if (array.rank() != 2 || array.size(1) != 4) {
            throw new IOException(
                    array.label()
                            + ": expected rows of x, z, radius, stiffness ratio, found shape "
                            + Arrays.toString(array.shape()));
        }
        double[] numbers = array.readNumbers();
        List<Inclusion> result = new ArrayList<>();
        for (int i = 0; i < numbers.length; i += 4) {
            result.add(new Inclusion(numbers[i], numbers[i + 1], numbers[i + 2], numbers[i + 3]));
        }
        return List.copyOf(result);
    }

    /**
     * Number of frame pairs, one less than the frames of the recording.
     *
     * @return the number
     */
    public int pairCount() {
        return axial.size(0);
    }

    /**
     * The inclusions.
     *
     * @return an immutable list
     */
    public List<Inclusion> inclusions() {
        return inclusions;
    }

    /**
     * The depths at which the motion is given.
     *
     * @return depths (m), evenly spaced; a copy
     */
    public double[] depths() {
        return depths.clone();
    }

    /**
     * The lateral positions at which the motion is given.
     *
     * @return positions (m), evenly spaced, 0 in the middle of the probe; a copy
     */
    public double[] lateralPositions() {
        return positions.clone();
    }

    /**
     * True axial displacement as it stands in the file.
     *
     * @param pair number of the first of the two frames
     * @return displacement (m), depth varying fastest
     * @throws IOException if the file is damaged there
     * @throws IndexOutOfBoundsException if there is no such pair
     */
    public float[] axial(int pair) throws IOException {
        return plane(axial, pair);
    }

    /**
     * True lateral displacement as it stands in the file.
     *
     * @param pair number of the first of the two frames
     * @return displacement (m), depth varying fastest
     * @throws IOException if the file is damaged there
     * @throws IndexOutOfBoundsException if there is no such pair
     */
    public float[] lateral(int pair) throws IOException {
        return plane(lateral, pair);
    }

    private static float[] plane(StoredArray array, int pair) throws IOException {
        Objects.checkIndex(pair, array.size(0));
        ByteBuffer bytes = array.newBuffer(0);
        array.readSlab(0, pair, bytes);
        float[] plane = new float[array.size(1) * array.size(2)];
        array.type().toFloats(bytes, 0, 1, plane, plane.length);
        return plane;
    }

    /**
     * True axial displacement on the grid of a displacement field: along the lines, positive away
     * from the probe.
     *
     * @param pair number of the first of the two frames
     * @param geometry geometry of the frames
     * @param grid depths of the rows along the lines
     * @return displacement (m), line after line; NaN outside the truth's own grid. Between its
     *     places it is interpolated by cubic convolution (Keys, IEEE Trans ASSP 29(6):1153–1160,
     *     1981, with a = -1/2)
     * @throws IOException if the file is damaged there
     * @throws IndexOutOfBoundsException if there is no such pair
     */
    public double[] axial(int pair, ScanGeometry geometry, RowGrid grid) throws IOException {
        return onGrid(pair, geometry, grid, true);
    }

    /**
     * True lateral displacement on the grid of a displacement field: across the lines, positive
     * towards higher line numbers.
     *
     * @param pair number of the first of the two frames
     * @param geometry geometry of the frames
     * @param grid depths of the rows along the lines
     * @return displacement (m), as {@link #axial(int, ScanGeometry, RowGrid)}
     * @throws IOException if the file is damaged there
     * @throws IndexOutOfBoundsException if there is no such pair
     */
    public double[] lateral(int pair, ScanGeometry geometry, RowGrid grid) throws IOException {
        return onGrid(pair, geometry, grid, false);
    }

    private double[] onGrid(int pair, ScanGeometry geometry, RowGrid grid, boolean alongLines)
            throws IOException {
        float[] down = axial(pair);
        float[] across = lateral(pair);
        double[] result = new double[geometry.lines() * grid.rows()];
        for (int line = 0; line < geometry.lines(); line++) {
            // Along a slanted line both components count.
            double sin = Math.sin(geometry.angleOfLine(line));
            double cos = Math.cos(geometry.angleOfLine(line));
            for (int row = 0; row < grid.rows(); row++) {
                double depth = grid.depth(row);
                double at = place(depths, geometry.z(line, depth));
                double beside = place(positions, geometry.x(line, depth));
                double dz = interpolate(down, beside, at);
                double dx = interpolate(across, beside, at);
                result[line * grid.rows() + row] =
                        alongLines ? mix(cos, dz, sin, dx) : mix(cos, dx, -sin, dz);
            }
        }
        return result;
    }

    /** a x + b y, where an unknown y does not matter if it has no weight. */
    private static double mix(double a, double x, double b, double y) {
        return b == 0 ? a * x : a * x + b * y;
    }

    /** Fractional index of a place; rounding errors at the two ends do not put it outside. */
    private static double place(double[] places, double at) {
        double index = (at - places[0]) / spacing(places);
        double nearest = Math.rint(index);
        return Math.abs(index - nearest) < 1e-9 ? nearest : index;
    }

    private double interpolate(float[] plane, double line, double depth) {
        if (!(line >= 0 && line <= positions.length - 1)
                || !(depth >= 0 && depth <= depths.length - 1)) {
            return Double.NaN;
        }
        int first = (int) Math.min(line, positions.length - 2);
        double t = line - first;
        if (t == 0) {
            return alongDepth(plane, first, depth);
        }
        if (t == 1) {
            return alongDepth(plane, first + 1, depth);
        }
        double p1 = alongDepth(plane, first, depth);
        double p2 = alongDepth(plane, first + 1, depth);
        // Beyond the ends the truth goes on in a straight line.
        double p0 = first > 0 ? alongDepth(plane, first - 1, depth) : 2 * p1 - p2;
        double p3 =
                first + 2 < positions.length ? alongDepth(plane, first + 2, depth) : 2 * p2 - p1;
        return cubic(p0, p1, p2, p3, t);
    }

    private double alongDepth(float[] plane, int line, double depth) {
        int start = line * depths.length;
        int first = (int) Math.min(depth, depths.length - 2);
        double t = depth - first;
        double p1 = plane[start + first];
        double p2 = plane[start + first + 1];
        if (t == 0 || t == 1) {
            return t == 0 ? p1 : p2;
        }
        double p0 = first > 0 ? plane[start + first - 1] : 2 * p1 - p2;
        double p3 = first + 2 < depths.length ? plane[start + first + 2] : 2 * p2 - p1;
        return cubic(p0, p1, p2, p3, t);
    }

    private static double cubic(double p0, double p1, double p2, double p3, double t) {
        return p1
                + 0.5
                        * t
                        * (p2
                                - p0
                                + t
                                        * (2 * p0
                                                - 5 * p1
                                                + 4 * p2
                                                - p3
                                                + t * (3 * (p1 - p2) + p3 - p0)));
    }

    @Override
    public void close() throws IOException {
        input.close();
    }

    @Override
    public String toString() {
        return file;
    }
}
