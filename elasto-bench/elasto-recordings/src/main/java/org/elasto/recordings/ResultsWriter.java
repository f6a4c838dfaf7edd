package org.elasto.recordings;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.recordings.array.ScanNames;
import org.elasto.recordings.hdf5.Filler;
import org.elasto.recordings.hdf5.Hdf5Output;

/**
 * Writes a results file: HDF5, as Python, Julia and MATLAB read it.
 *
 * <p>Data sets, with rows fastest: {@code pairs} [pair, 2] numbers of the two frames; {@code
 * depth_m} of the rows; {@code lateral_m} of the lines (at the probe's face, for a convex probe);
 * {@code axial_displacement_m}, {@code lateral_displacement_m} (where estimated), {@code
 * displacement_deviation_m}, {@code correlation} [pair, line, row]; {@code strain_depth_m} of the
 * strain's rows; {@code axial_strain}, {@code strain_deviation}, {@code trusted} (0 or 1) [pair,
 * line, row]. Unknown is NaN. Attributes of the file: names and parameters of the providers,
 * version of the library, name of the source, scan geometry.
 *
 * <p>What is appended waits in temporary files beside the final one, so any number of pairs needs
 * no more memory than one. {@link #close} puts the file together under a temporary name and moves
 * it into place (atomically where the file system can): under the final name there is never half a
 * file. For that moment twice the space is needed. If an append failed, or after {@link #abort},
 * closing leaves nothing behind:
 *
 * <pre>{@code
 * try (ResultsWriter writer = new ResultsWriter(path, header)) {
 *     try {
 *         writer.append(0, 1, field, image);
 *     } catch (IOException | RuntimeException e) {
 *         writer.abort();
 *         throw e;
 *     }
 * }
 * }</pre>
 *
 * <p>Not thread-safe.
 */
public final class ResultsWriter implements Closeable {

    private final ResultsHeader header;
    private final Hdf5Output output;
    private final Map<String, Spill> spills = new LinkedHashMap<>();
    private final List<long[]> pairs = new ArrayList<>();
    private boolean failed;
    private boolean closed;

    /** Planes of one data set, waiting to be put together. */
    private record Spill(
            Path path, FileChannel channel, ByteBuffer bytes, Class<?> element, int rows) {}

    /**
     * Starts a results file.
     *
     * @param target its final name; a file of that name is replaced when this one is closed
     * @param header what it says about itself
     * @throws IOException if the folder cannot be written to
     */
    public ResultsWriter(Path target, ResultsHeader header) throws IOException {
        this.header = header;
        this.output = new Hdf5Output(target);
        FieldLayout field = header.field();
        int rows = field.grid().rows();
        int strainRows = header.strain().grid().rows();
        try {
            spill(ResultsNames.AXIAL_DISPLACEMENT, float.class, rows);
            if (field.lateral()) {
                spill(ResultsNames.LATERAL_DISPLACEMENT, float.class, rows);
            }
            spill(ResultsNames.DISPLACEMENT_DEVIATION, float.class, rows);
            spill(ResultsNames.CORRELATION, float.class, rows);
            spill(ResultsNames.AXIAL_STRAIN, float.class, strainRows);
            spill(ResultsNames.STRAIN_DEVIATION, float.class, strainRows);
            spill(ResultsNames.TRUSTED, byte.class, strainRows);
        } catch (IOException | RuntimeException e) {
            failed = true;
            close();
            throw e;
        }
    }

    private void spill(String name, Class<?> element, int rows) throws IOException {
        Path path = output.temporaryName();
        FileChannel channel =
                FileChannel.open(
                        path,
                        StandardOpenOption.CREATE_NEW,
                        StandardOpenOption.READ,
                        StandardOpenOption.WRITE);
        ByteBuffer bytes = ByteBuffer.allocate(rows * Float.BYTES).order(ByteOrder.nativeOrder());
        spills.put(name, new Spill(path, channel, bytes, element, rows));
    }

    /**
     * Appends the results of one frame pair.
     *
     * @param first number of the frame that the field refers to
     * @param second number of the frame that motion leads to
     * @param field displacements, of the layout in the header
     * @param image strain, of the layout in the header
     * @throws IOException if they cannot be written; the file is given up then
     * @throws IllegalArgumentException if a layout is another; the file is given up then
     * @throws IllegalStateException if the file is closed or given up
     */
    public void append(long first, long second, DisplacementField field, StrainImage image)
            throws IOException {
        if (closed || failed) {
            throw new IllegalStateException(
                    closed ? "the results file is closed" : "the results file is given up");
        }
        failed = true;
        Check.same("layout of the displacement field", field.layout(), header.field());
        Check.same("layout of the strain image", image.layout(), header.strain());
        write(ResultsNames.AXIAL_DISPLACEMENT, field.axial());
        if (header.field().lateral()) {
            write(ResultsNames.LATERAL_DISPLACEMENT, field.lateral());
        }
        write(ResultsNames.DISPLACEMENT_DEVIATION, field.axialDeviation());
        write(ResultsNames.CORRELATION, field.correlation());
        write(ResultsNames.AXIAL_STRAIN, image.axial());
        write(ResultsNames.STRAIN_DEVIATION, image.axialDeviation());
        write(ResultsNames.TRUSTED, image.trusted());
        pairs.add(new long[] {first, second});
        failed = false;
    }

    private void write(String name, float[] plane) throws IOException {
        Spill spill = spills.get(name);
        for (int start = 0; start < plane.length; start += spill.rows()) {
            spill.bytes().clear();
            for (int i = 0; i < spill.rows(); i++) {
                spill.bytes().putFloat(plane[start + i]);
            }
            writeFully(spill);
        }
    }

    private void write(String name, boolean[] plane) throws IOException {
        Spill spill = spills.get(name);
        for (int start = 0; start < plane.length; start += spill.rows()) {
            spill.bytes().clear();
            for (int i = 0; i < spill.rows(); i++) {
                spill.bytes().put((byte) (plane[start + i] ? 1 : 0));
            }
            writeFully(spill);
        }
    }

    private static void writeFully(Spill spill) throws IOException {
        spill.bytes().flip();
        while (spill.bytes().hasRemaining()) {
            spill.channel().write(spill.bytes());
        }
    }

    /** Gives the file up: closing it will leave nothing behind. */
    public void abort() {
        failed = true;
    }

    /**
     * Puts the file together and moves it into place, unless it was given up.
     *
     * @throws IOException if that fails; nothing is left behind then
     */
    @Override
    public void close() throws IOException {
        if (closed) {
            return;
        }
        closed = true;
        try {
            if (!failed) {
                describe();
                output.write();
            }
        } finally {
            deleteSpills();
        }
    }

    private void deleteSpills() throws IOException {
        IOException problem = null;
        for (Spill spill : spills.values()) {
            try {
                spill.channel().close();
                Files.deleteIfExists(spill.path());
            } catch (IOException e) {
                problem = e;
            }
        }
        if (problem != null) {
            throw problem;
        }
    }

    private void describe() {
        FieldLayout field = header.field();
        StrainLayout strain = header.strain();
        ScanGeometry geometry = field.geometry();
        int lines = geometry.lines();
        double[] lateral = new double[lines];
        for (int i = 0; i < lines; i++) {
            lateral[i] = geometry.x(i, 0);
        }
        output.put(ResultsNames.LATERAL, lateral);
        output.put(ResultsNames.DEPTH, depths(field.grid()));
        output.put(ResultsNames.STRAIN_DEPTH, depths(strain.grid()));
        output.stream(
                ResultsNames.PAIRS,
                long.class,
                new int[] {pairs.size(), 2},
                Map.of(),
                this::writePairs);
        spills.forEach(
                (name, spill) ->
                        output.stream(
                                name,
                                spill.element(),
                                new int[] {pairs.size(), lines, spill.rows()},
                                Map.of(),
                                sink -> copy(spill, sink)));
        attributes(field, strain, geometry);
    }

    private void attributes(FieldLayout field, StrainLayout strain, ScanGeometry geometry) {
        Map<String, Object> values = new LinkedHashMap<>(ScanNames.parameters(geometry));
        values.put(ResultsNames.LINES, geometry.lines());
        values.put(ResultsNames.SAMPLES, geometry.samples());
        values.put(ResultsNames.LIBRARY_VERSION, header.libraryVersion());
        values.put(ResultsNames.SOURCE, header.sourceName());
        values.put(ResultsNames.DISPLACEMENT_ESTIMATOR, header.displacementEstimator());
        values.put(
                ResultsNames.DISPLACEMENT_PARAMETERS,
                ResultsNames.text(header.displacementParameters()));
        values.put(ResultsNames.STRAIN_ESTIMATOR, header.strainEstimator());
        values.put(ResultsNames.STRAIN_PARAMETERS, ResultsNames.text(header.strainParameters()));
        values.put(ResultsNames.ROW_SPACING, field.grid().spacing());
        values.put(ResultsNames.STRAIN_ROW_SPACING, strain.grid().spacing());
        values.put(ResultsNames.STRAIN_RESOLUTION, strain.resolution());
        values.put(ResultsNames.STRAIN_LATERAL, strain.lateral() ? 1 : 0);
        values.put(ResultsNames.ERROR_SHAPE, field.axialErrors().shape().name());
        values.put(ResultsNames.ERROR_LENGTH, field.axialErrors().length());
        values.put(ResultsNames.ERROR_SHAPE_ACROSS, field.lateralErrors().shape().name());
        values.put(ResultsNames.ERROR_LENGTH_ACROSS, field.lateralErrors().length());
        values.put(ResultsNames.LATERAL_ERROR_SHAPE, field.lateralErrors().shape().name());
        values.put(ResultsNames.LATERAL_ERROR_LENGTH, field.lateralErrors().length());
        values.forEach(output::attribute);
    }

    private static double[] depths(RowGrid grid) {
        double[] depths = new double[grid.rows()];
        for (int i = 0; i < depths.length; i++) {
            depths[i] = grid.depth(i);
        }
        return depths;
    }

    private void writePairs(Filler.Sink sink) throws IOException {
        ByteBuffer bytes = ByteBuffer.allocate(2 * Long.BYTES).order(ByteOrder.nativeOrder());
        for (long[] pair : pairs) {
            bytes.clear();
            sink.write(bytes.putLong(pair[0]).putLong(pair[1]).flip());
        }
    }

    private static void copy(Spill spill, Filler.Sink sink) throws IOException {
        ByteBuffer bytes = ByteBuffer.allocate(1 << 16);
        long at = 0;
        while (true) {
            bytes.clear();
            int read = spill.channel().read(bytes, at);
            if (read < 0) {
                return;
            }
            at += read;
            sink.write(bytes.flip());
        }
    }
}
