package org.elasto.compare;

import java.io.Closeable;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.Truth;
import org.elasto.recordings.TruthFile;

/** Motion that is known: a phantom's own, or that of a truth file beside a recording. */
interface TrueMotion extends Closeable {

    /**
     * A round inclusion.
     *
     * @param x lateral place of its middle (m)
     * @param z depth of its middle (m)
     * @param radius radius (m)
     * @param insideShare strain inside over that far away, by the closed form
     */
    record Round(double x, double z, double radius, double insideShare) {}

    /**
     * Axial displacement from one frame to another, at the places of the first.
     *
     * @param first frame number
     * @param second frame number
     * @param grid depths of the rows
     * @return displacement (m), line after line; NaN where there is nothing to be seen
     */
    double[] axial(int first, int second, RowGrid grid) throws IOException;

    /**
     * Strain far away from all inclusions, from one frame to another.
     *
     * @param first frame number
     * @param second frame number
     * @return axial strain, negative when pressed; NaN where it is not known
     */
    double applied(int first, int second);

    /**
     * The smallest deviation that an estimate of axial displacement from one line can have.
     *
     * @param first frame number
     * @param second frame number
     * @param depth middle of its window (m)
     * @param windowLength length of its window (m)
     * @return standard deviation (m), NaN if it is not known
     */
    default double bound(int first, int second, double depth, double windowLength) {
        return Double.NaN;
    }

    /**
     * Echo over noise.
     *
     * @param depth depth (m)
     * @return ratio of root mean squares (dB), NaN if it is not known
     */
    default double signalToNoise(double depth) {
        return Double.NaN;
    }

    /** The inclusions there are. */
    List<Round> inclusions();

    @Override
    void close() throws IOException;

    /** The motion of a phantom. */
    static TrueMotion of(Phantom phantom) {
        return new TrueMotion() {
            @Override
            public double[] axial(int first, int second, RowGrid grid) {
                Truth truth = phantom.truth(first, second, grid);
                double[] u = new double[truth.axial().length];
                for (int i = 0; i < u.length; i++) {
                    u[i] = truth.visible()[i] ? truth.axial()[i] : Double.NaN;
                }
                return u;
            }

            @Override
            public double applied(int first, int second) {
                double before = phantom.pressAt(first);
                return -(phantom.pressAt(second) - before) / (1 - before);
            }

            @Override
            public double bound(int first, int second, double depth, double windowLength) {
                return phantom.displacementBound(first, second, depth, windowLength);
            }

            @Override
            public double signalToNoise(double depth) {
                return phantom.signalToNoise(depth);
            }

            @Override
            public List<Round> inclusions() {
                return phantom.inclusions().stream()
                        .map(i -> new Round(i.x(), i.z(), i.visibleRadius(), i.insideShare()))
                        .toList();
            }

            @Override
            public void close() {}
        };
    }

    /** The motion in a truth file, from each frame to the next. */
    static TrueMotion of(Path file, ScanGeometry geometry) throws IOException {
        TruthFile truth = new TruthFile(file);
        return new TrueMotion() {
            @Override
            public double[] axial(int first, int second, RowGrid grid) throws IOException {
                return truth.axial(first, geometry, grid);
            }

            @Override
            public double applied(int first, int second) {
                return Double.NaN;
            }

            @Override
            public List<Round> inclusions() {
                // Cylinders across the image plane: Eshelby 1957, Goodier 1933.
                return truth.inclusions().stream()
                        .map(i -> new Round(i.x(), i.z(), i.radius(), 2 / (1 + i.stiffnessRatio())))
                        .toList();
            }

            @Override
            public void close() throws IOException {
                truth.close();
            }
        };
    }
}
