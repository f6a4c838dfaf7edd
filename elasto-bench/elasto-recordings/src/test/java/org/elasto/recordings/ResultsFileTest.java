package org.elasto.recordings;

import static org.elasto.recordings.TestFiles.assertFails;
import static org.elasto.recordings.TestFiles.small;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import io.jhdf.HdfFile;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.lifecycle.AfterContainer;
import net.jqwik.api.lifecycle.BeforeContainer;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ResultsFileTest {

    private static Path shared;

    @BeforeContainer
    static void makeFolder() throws IOException {
        shared = Files.createTempDirectory("results");
    }

    @AfterContainer
    static void removeFolder() throws IOException {
        Files.delete(shared); // fails if anything was left behind
    }

    @Property(tries = 25, seed = "20260101")
    void resultsComeBackBitForBit(
            @ForAll long seed,
            @ForAll @IntRange(min = 0, max = 4) int pairs,
            @ForAll @IntRange(min = 1, max = 7) int lines,
            @ForAll @IntRange(min = 1, max = 9) int rows,
            @ForAll @IntRange(min = 1, max = 9) int strainRows,
            @ForAll boolean lateral,
            @ForAll boolean convex)
            throws IOException {
        Random random = new Random(seed);
        ResultsHeader header = header(random, lines, rows, strainRows, lateral, convex);
        Path file = shared.resolve("results.h5");
        List<DisplacementField> fields = new ArrayList<>();
        List<StrainImage> images = new ArrayList<>();
        try (ResultsWriter writer = new ResultsWriter(file, header)) {
            for (int i = 0; i < pairs; i++) {
                fields.add(field(random, header.field()));
                images.add(image(random, header.strain()));
                writer.append(3L * i, (1L << 40) + i, fields.get(i), images.get(i));
                assertTrue(Files.notExists(file), "stands there before it is complete");
            }
        }
        try (ResultsReader reader = new ResultsReader(file)) {
            assertEquals(header, reader.header());
            assertEquals(
                    List.copyOf(header.displacementParameters().entrySet()),
                    List.copyOf(reader.header().displacementParameters().entrySet()));
            assertEquals(pairs, reader.pairCount());
            DisplacementField field = new DisplacementField(header.field());
            StrainImage image = new StrainImage(header.strain());
            for (int i = pairs - 1; i >= 0; i--) {
                reader.read(i, field, image);
                assertEquals(3L * i, reader.first(i));
                assertEquals((1L << 40) + i, reader.second(i));
                assertSame(fields.get(i), images.get(i), field, image);
            }
            assertThrows(IndexOutOfBoundsException.class, () -> reader.read(pairs, field, image));
        } finally {
            Files.delete(file);
        }
    }

    private static void assertSame(
            DisplacementField field,
            StrainImage image,
            DisplacementField readField,
            StrainImage readImage) {
        assertArrayEquals(field.axial(), readField.axial());
        assertArrayEquals(field.lateral(), readField.lateral());
        assertArrayEquals(field.correlation(), readField.correlation());
        assertArrayEquals(field.axialDeviation(), readField.axialDeviation());
        assertArrayEquals(image.axial(), readImage.axial());
        assertArrayEquals(image.axialDeviation(), readImage.axialDeviation());
        assertArrayEquals(image.trusted(), readImage.trusted());
    }

    private static ResultsHeader header(
            Random random, int lines, int rows, int strainRows, boolean lateral, boolean convex) {
        ScanGeometry geometry =
                convex
                        ? ScanGeometry.convex(lines, 50, 3e7, 5e6, 1540, 1e-3, 0.06, 0.01, 30)
                        : ScanGeometry.linear(lines, 50, 4e7, 7.5e6, 1500, 0, 3e-4, Double.NaN);
        FieldLayout field =
                new FieldLayout(
                        geometry,
                        new RowGrid(rows, random.nextDouble(), 1e-5 + random.nextDouble()),
                        lateral,
                        errors(random),
                        errors(random));
        StrainLayout strain =
                new StrainLayout(
                        geometry,
                        new RowGrid(strainRows, random.nextDouble(), 1e-5 + random.nextDouble()),
                        lateral,
                        1e-4 + random.nextDouble());
        return new ResultsHeader(
                "1.2.3-Σ",
                "phantom µ",
                field,
                strain,
                "phase",
                Map.of("window-length", "0.002", "peak", "spline", "left-open", "", "text", "a=b"),
                "least-squares",
                Map.of());
    }

    private static ErrorCorrelation errors(Random random) {
        return new ErrorCorrelation(
                ErrorCorrelation.Shape.values()[random.nextInt(2)], random.nextDouble());
    }

    private static float value(Random random) {
        return random.nextInt(4) == 0 ? Float.NaN : (float) random.nextGaussian() * 1e-5f;
    }

    private static DisplacementField field(Random random, FieldLayout layout) {
        DisplacementField field = new DisplacementField(layout);
        for (int i = 0; i < layout.planeSize(); i++) {
            field.axial()[i] = value(random);
            field.axialDeviation()[i] = value(random);
            field.correlation()[i] = random.nextFloat();
            if (layout.lateral()) {
                field.lateral()[i] = value(random);
            }
        }
        return field;
    }

    private static StrainImage image(Random random, StrainLayout layout) {
        StrainImage image = new StrainImage(layout);
        for (int i = 0; i < layout.planeSize(); i++) {
            image.axial()[i] = value(random);
            image.axialDeviation()[i] = value(random);
            image.trusted()[i] = random.nextBoolean();
        }
        return image;
    }

    private static final ResultsHeader HEADER = header(new Random(1), 3, 5, 4, true, false);

    private static void append(ResultsWriter writer) throws IOException {
        Random random = new Random(2);
        writer.append(7, 9, field(random, HEADER.field()), image(random, HEADER.strain()));
    }

    private static List<Path> files(Path folder) throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.toList();
        }
    }

    /** The layout that design and documentation promise to other languages. */
    @Test
    void theFileHasTheDocumentedDataSets(@TempDir Path folder) throws IOException {
        Path file = folder.resolve("results.h5");
        try (ResultsWriter writer = new ResultsWriter(file, HEADER)) {
            append(writer);
            append(writer);
        }
        assertEquals(List.of(file), files(folder));
        try (HdfFile hdf = new HdfFile(file)) {
            assertArrayEquals(
                    new long[][] {{7, 9}, {7, 9}},
                    (long[][]) hdf.getDatasetByPath("pairs").getData());
            RowGrid grid = HEADER.field().grid();
            assertArrayEquals(
                    new double[] {
                        grid.depth(0), grid.depth(1), grid.depth(2), grid.depth(3), grid.depth(4)
                    },
                    (double[]) hdf.getDatasetByPath("depth_m").getData());
            assertArrayEquals(
                    new double[] {-3e-4, 0, 3e-4},
                    (double[]) hdf.getDatasetByPath("lateral_m").getData());
            assertEquals(4, ((double[]) hdf.getDatasetByPath("strain_depth_m").getData()).length);
            for (String name :
                    List.of(
                            "axial_displacement_m",
                            "lateral_displacement_m",
                            "displacement_deviation_m",
                            "correlation")) {
                assertArrayEquals(
                        new int[] {2, 3, 5}, hdf.getDatasetByPath(name).getDimensions(), name);
            }
            for (String name : List.of("axial_strain", "strain_deviation", "trusted")) {
                assertArrayEquals(
                        new int[] {2, 3, 4}, hdf.getDatasetByPath(name).getDimensions(), name);
            }
            assertEquals(byte.class, hdf.getDatasetByPath("trusted").getJavaType());
            assertEquals(4e7, hdf.getAttribute("sampling_frequency_hz").getData());
            assertEquals("phantom µ", hdf.getAttribute("source_name").getData());
            assertEquals("phase", hdf.getAttribute("displacement_estimator").getData());
            assertEquals("1.2.3-Σ", hdf.getAttribute("library_version").getData());
            assertTrue(
                    hdf.getAttribute("displacement_parameters")
                            .getData()
                            .toString()
                            .contains("window-length=0.002"));
        }
    }

    @Test
    void nothingIsLeftOfAFileThatWasGivenUp(@TempDir Path folder) throws IOException {
        Path file = folder.resolve("results.h5");
        Files.writeString(file, "old");
        try (ResultsWriter writer = new ResultsWriter(file, HEADER)) {
            append(writer);
            assertTrue(files(folder).size() > 1);
            writer.abort();
            assertThrows(IllegalStateException.class, () -> append(writer));
        }
        assertEquals(List.of(file), files(folder));
        assertEquals("old", Files.readString(file));
    }

    @Test
    void aFailedAppendGivesTheFileUp(@TempDir Path folder) throws IOException {
        Path file = folder.resolve("results.h5");
        ResultsHeader other = header(new Random(1), 3, 6, 4, true, false);
        try (ResultsWriter writer = new ResultsWriter(file, HEADER)) {
            append(writer);
            assertFails(
                    IllegalArgumentException.class,
                    () ->
                            writer.append(
                                    0,
                                    1,
                                    new DisplacementField(other.field()),
                                    new StrainImage(HEADER.strain())),
                    "layout of the displacement field");
            assertThrows(IllegalStateException.class, () -> append(writer));
        }
        assertEquals(List.of(), files(folder));
    }

    @Test
    void closingTwiceIsHarmless(@TempDir Path folder) throws IOException {
        Path file = folder.resolve("results.h5");
        ResultsWriter writer = new ResultsWriter(file, HEADER);
        append(writer);
        writer.close();
        writer.close();
        assertThrows(IllegalStateException.class, () -> append(writer));
        assertEquals(List.of(file), files(folder));
    }

    @Test
    void otherFilesAreRefused(@TempDir Path folder) {
        assertFails(
                IOException.class,
                () -> new ResultsReader(small("contiguous.h5")).close(),
                small("contiguous.h5"),
                "expected an attribute lines");
        assertFails(
                IOException.class,
                () -> new ResultsReader(small("plain.mat")).close(),
                small("plain.mat"),
                "HDF5");
        assertFails(
                IOException.class,
                () -> new ResultsWriter(folder.resolve("gone/a.h5"), HEADER).close(),
                "no folder");
    }
}
