package org.elasto.recordings;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.LineLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.recordings.array.ElementType;
import org.elasto.recordings.array.ScanNames;
import org.elasto.recordings.array.StoredArray;
import org.elasto.recordings.hdf5.Hdf5Input;

/**
 * Reads a results file, pair by pair. What the file does not hold (deviations of lateral
 * displacement, lateral and shear strain) stays NaN.
 *
 * <p>Not thread-safe.
 */
public final class ResultsReader implements Closeable {

    private final String file;
    private final Hdf5Input input;
    private final ResultsHeader header;
    private final long[][] pairs;
    private final Map<String, StoredArray> planes = new LinkedHashMap<>();

    /**
     * Opens a results file.
     *
     * @param path the file
     * @throws IOException if it cannot be opened or is no results file, naming what was expected
     *     and found
     */
    public ResultsReader(Path path) throws IOException {
        file = path.toString();
        input = Hdf5Input.open(path);
        try {
            header = readHeader();
            pairs = readPairs();
            int rows = header.field().grid().rows();
            int strainRows = header.strain().grid().rows();
            plane(ResultsNames.AXIAL_DISPLACEMENT, ElementType.FLOAT32, rows);
            if (header.field().lateral()) {
                plane(ResultsNames.LATERAL_DISPLACEMENT, ElementType.FLOAT32, rows);
            }
            plane(ResultsNames.DISPLACEMENT_DEVIATION, ElementType.FLOAT32, rows);
            plane(ResultsNames.CORRELATION, ElementType.FLOAT32, rows);
            plane(ResultsNames.AXIAL_STRAIN, ElementType.FLOAT32, strainRows);
            plane(ResultsNames.STRAIN_DEVIATION, ElementType.FLOAT32, strainRows);
            plane(ResultsNames.TRUSTED, ElementType.INT8, strainRows);
        } catch (IOException e) {
            input.close();
            throw e;
        } catch (IllegalArgumentException e) {
            input.close();
            throw new IOException(file + " is no valid results file: " + e.getMessage(), e);
        }
    }

    private ResultsHeader readHeader() throws IOException {
        ScanGeometry geometry =
                new ScanGeometry(
                        (int) input.rootNumber(ResultsNames.LINES),
                        (int) input.rootNumber(ResultsNames.SAMPLES),
                        input.rootNumber(ScanNames.SAMPLING_FREQUENCY),
                        input.rootNumber(ScanNames.CENTRE_FREQUENCY),
                        input.rootNumber(ScanNames.SOUND_SPEED),
                        input.rootNumber(ScanNames.FIRST_DEPTH),
                        readLayout(),
                        input.hasRootAttribute(ScanNames.FRAME_RATE)
                                ? input.rootNumber(ScanNames.FRAME_RATE)
                                : Double.NaN);
        FieldLayout field =
                new FieldLayout(
                        geometry,
                        readGrid(ResultsNames.DEPTH, ResultsNames.ROW_SPACING),
                        input.contains(ResultsNames.LATERAL_DISPLACEMENT),
                        readErrors(ResultsNames.ERROR_SHAPE, ResultsNames.ERROR_LENGTH),
                        readErrors(
                                ResultsNames.ERROR_SHAPE_ACROSS, ResultsNames.ERROR_LENGTH_ACROSS));
        StrainLayout strain =
                new StrainLayout(
                        geometry,
                        readGrid(ResultsNames.STRAIN_DEPTH, ResultsNames.STRAIN_ROW_SPACING),
                        input.rootNumber(ResultsNames.STRAIN_LATERAL) != 0,
                        input.rootNumber(ResultsNames.STRAIN_RESOLUTION));
        return new ResultsHeader(
                input.text(ResultsNames.LIBRARY_VERSION),
                input.text(ResultsNames.SOURCE),
                field,
                strain,
                input.text(ResultsNames.DISPLACEMENT_ESTIMATOR),
                ResultsNames.parameters(input.text(ResultsNames.DISPLACEMENT_PARAMETERS)),
                input.text(ResultsNames.STRAIN_ESTIMATOR),
                ResultsNames.parameters(input.text(ResultsNames.STRAIN_PARAMETERS)));
    }

    private ErrorCorrelation readErrors(String shape, String length) throws IOException {
        return new ErrorCorrelation(
                ErrorCorrelation.Shape.valueOf(input.text(shape)), input.rootNumber(length));
    }

    private LineLayout readLayout() throws IOException {
        return input.hasRootAttribute(ScanNames.LINE_PITCH)
                ? new LineLayout.Linear(input.rootNumber(ScanNames.LINE_PITCH))
                : new LineLayout.Convex(
                        input.rootNumber(ScanNames.PROBE_RADIUS),
                        input.rootNumber(ScanNames.ANGULAR_PITCH));
    }

    private RowGrid readGrid(String depths, String spacing) throws IOException {
        StoredArray array = input.array("/" + depths);
        if (array.rank() != 1 || array.size(0) < 1) {
            throw new IOException(
                    array.label()
                            + ": expected one axis, not empty, found shape "
                            + Arrays.toString(array.shape()));
        }
        return new RowGrid(array.size(0), array.readNumbers()[0], input.rootNumber(spacing));
    }

    private long[][] readPairs() throws IOException {
        long[][] result = input.longs("/" + ResultsNames.PAIRS);
        for (long[] pair : result) {
            if (pair.length != 2) {
                throw new IOException(
                        file + ": expected pairs of 2 frame numbers, found " + pair.length);
            }
        }
        return result;
    }

    private void plane(String name, ElementType type, int rows) throws IOException {
        StoredArray array = input.array("/" + name);
        int[] expected = {pairs.length, header.field().geometry().lines(), rows};
        if (array.type() != type || !Arrays.equals(array.shape(), expected)) {
            throw new IOException(
                    array.label()
                            + ": expected "
                            + type.label()
                            + " of shape "
                            + Arrays.toString(expected)
                            + ", found "
                            + array.type().label()
                            + " of shape "
                            + Arrays.toString(array.shape()));
        }
        planes.put(name, array);
    }

    /**
     * What the file says about itself.
     *
     * @return the header as it was written
     */
    public ResultsHeader header() {
        return header;
    }

    /**
     * Number of frame pairs.
     *
     * @return the number
     */
    public int pairCount() {
        return pairs.length;
    }

    /**
     * Number of the frame that a pair's field refers to.
     *
     * @param pair pair number, from 0
     * @return the frame's number
     */
    public long first(int pair) {
        return pairs[pair][0];
    }

    /**
     * Number of the frame that a pair's motion leads to.
     *
     * @param pair pair number, from 0
     * @return the frame's number
     */
    public long second(int pair) {
        return pairs[pair][1];
    }

    /**
     * Reads the results of one pair.
     *
     * @param pair pair number, from 0
     * @param field receives displacements; of the layout in the header
     * @param image receives strain; of the layout in the header
     * @throws IOException if the file is damaged there
     * @throws IndexOutOfBoundsException if there is no such pair
     * @throws IllegalArgumentException if a layout is another
     */
    public void read(int pair, DisplacementField field, StrainImage image) throws IOException {
        Objects.checkIndex(pair, pairs.length);
        Check.same("layout of the displacement field", field.layout(), header.field());
        Check.same("layout of the strain image", image.layout(), header.strain());
        field.clear();
        image.clear();
        read(ResultsNames.AXIAL_DISPLACEMENT, pair, field.axial());
        if (field.lateral() != null) {
            read(ResultsNames.LATERAL_DISPLACEMENT, pair, field.lateral());
        }
        read(ResultsNames.DISPLACEMENT_DEVIATION, pair, field.axialDeviation());
        read(ResultsNames.CORRELATION, pair, field.correlation());
        read(ResultsNames.AXIAL_STRAIN, pair, image.axial());
        read(ResultsNames.STRAIN_DEVIATION, pair, image.axialDeviation());
        float[] trusted = new float[image.trusted().length];
        read(ResultsNames.TRUSTED, pair, trusted);
        for (int i = 0; i < trusted.length; i++) {
            image.trusted()[i] = trusted[i] != 0;
        }
    }

    private void read(String name, int pair, float[] plane) throws IOException {
        StoredArray array = planes.get(name);
        ByteBuffer bytes = array.newBuffer(0);
        array.readSlab(0, pair, bytes);
        array.type().toFloats(bytes, 0, 1, plane, plane.length);
    }

    @Override
    public void close() throws IOException {
        input.close();
    }
}
