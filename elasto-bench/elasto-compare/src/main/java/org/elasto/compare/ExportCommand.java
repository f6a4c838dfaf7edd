package org.elasto.compare;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.Locale;
import java.util.concurrent.Callable;
import org.elasto.api.DisplacementField;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.recordings.ResultsHeader;
import org.elasto.recordings.ResultsReader;
import org.elasto.recordings.npy.NpyWriter;
import org.elasto.strain.picture.Cautions;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Writes the planes of a results file as NumPy arrays. */
@Command(
        name = "export",
        description = {
            "Writes the planes of a results file (HDF5, as 'picture' and 'compare' write it) as"
                    + " NumPy arrays",
            "(.npy), one file for each plane of each pair of frames, lines x rows: displacement,"
                    + " its predicted",
            "deviation and correlation, strain, its deviation and where it is trusted; and the"
                    + " places of rows",
            "and lines. Metres; unknown is NaN."
        },
        mixinStandardHelpOptions = true,
        versionProvider = Main.Version.class,
        sortOptions = false,
        footer = {"", Cautions.TEXT})
final class ExportCommand implements Callable<Integer> {

    @Parameters(paramLabel = "RESULTS", description = "a results file, such as results.h5")
    private Path results;

    @Option(
            names = "--to",
            paramLabel = "FOLDER",
            defaultValue = "planes",
            description = "where to write; default: ${DEFAULT-VALUE}")
    private Path folder;

    @Spec private CommandSpec spec;

    private int written;

    @Override
    public Integer call() throws IOException {
        try (ResultsReader reader = new ResultsReader(Sources.file(results))) {
            WholeFile.folder(folder);
            ResultsHeader header = reader.header();
            ScanGeometry geometry = header.field().geometry();
            write("depth_m", depths(header.field().grid()));
            write("strain_depth_m", depths(header.strain().grid()));
            double[] lateral = new double[geometry.lines()];
            for (int line = 0; line < lateral.length; line++) {
                lateral[line] = geometry.x(line, 0);
            }
            write("lateral_m", lateral);
            DisplacementField field = new DisplacementField(header.field());
            StrainImage strain = new StrainImage(header.strain());
            for (int pair = 0; pair < reader.pairCount(); pair++) {
                Interruption.check();
                reader.read(pair, field, strain);
                write(
                        String.format(
                                Locale.ROOT,
                                "pair-%03d-%03d-",
                                reader.first(pair),
                                reader.second(pair)),
                        field,
                        strain);
            }
        }
        PrintWriter out = spec.commandLine().getOut();
        out.println("written to " + folder + ": " + written + " arrays");
        out.flush();
        return 0;
    }

    private void write(String pair, DisplacementField field, StrainImage strain)
            throws IOException {
        int lines = field.lines();
        int rows = field.layout().grid().rows();
        int strainRows = strain.rows();
        plane(pair + "axial_displacement_m", field.axial(), lines, rows);
        if (field.lateral() != null) {
            plane(pair + "lateral_displacement_m", field.lateral(), lines, rows);
        }
        plane(pair + "displacement_deviation_m", field.axialDeviation(), lines, rows);
        plane(pair + "correlation", field.correlation(), lines, rows);
        plane(pair + "axial_strain", strain.axial(), lines, strainRows);
        plane(pair + "strain_deviation", strain.axialDeviation(), lines, strainRows);
        boolean[] trusted = strain.trusted();
        WholeFile.write(
                folder.resolve(pair + "trusted.npy"),
                out -> NpyWriter.write(out, trusted, lines, strainRows));
        written++;
    }

    private void plane(String name, float[] values, int lines, int rows) throws IOException {
        WholeFile.write(
                folder.resolve(name + ".npy"), out -> NpyWriter.write(out, values, lines, rows));
        written++;
    }

    private void write(String name, double[] values) throws IOException {
        WholeFile.write(
                folder.resolve(name + ".npy"), out -> NpyWriter.write(out, values, values.length));
        written++;
    }

    private static double[] depths(RowGrid grid) {
        double[] depths = new double[grid.rows()];
        for (int row = 0; row < depths.length; row++) {
            depths[row] = grid.depth(row);
        }
        return depths;
    }
}
