package org.elasto.compare;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSource;
import org.elasto.phantoms.Phantom;
import org.elasto.recordings.RecordingWriter;
import org.elasto.strain.picture.Cautions;
import org.elasto.strain.picture.PictureConfig;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Tracks every pair of neighbouring frames, and writes pictures, results and measurements. */
@Command(
        name = "picture",
        description = {
            "Makes strain pictures of a recording or a phantom: tracks each frame to the next,"
                    + " writes",
            "the pictures, a results file (HDF5), and, where the true motion is known, a table of"
                    + " what",
            "was measured against it."
        },
        mixinStandardHelpOptions = true,
        versionProvider = Main.Version.class,
        sortOptions = false,
        footer = {"", Cautions.TEXT})
final class PictureCommand implements Callable<Integer> {

    private static final PictureConfig LOOK = PictureConfig.DEFAULTS;

    @Parameters(
            arity = "0..1",
            paramLabel = "RECORDING",
            defaultValue = "two-stiff-inclusions",
            description = {
                "a recording (MAT-file, HDF5, raw) or the name of a phantom;",
                "default: ${DEFAULT-VALUE}"
            })
    private String location;

    @Option(
            names = "--to",
            paramLabel = "FOLDER",
            defaultValue = "strain-pictures",
            description = "where to write; default: ${DEFAULT-VALUE}")
    private Path folder;

    @Option(
            names = "--estimator",
            paramLabel = "CHOICE",
            defaultValue = "",
            description = "displacement estimator, as name or name:parameter=value,...")
    private String estimator;

    @Option(
            names = "--strain",
            paramLabel = "CHOICE",
            defaultValue = "",
            description = "strain estimator, likewise")
    private String strain;

    @Option(
            names = "--source",
            paramLabel = "CHOICE",
            defaultValue = "",
            description = {
                "what reads the recording, likewise; parameters alone (':array-name=rf,...')",
                "leave the kind to be told from the file"
            })
    private String source;

    @Option(
            names = "--truth",
            paramLabel = "FILE",
            description = "the true motion of the recording (HDF5), to measure errors against")
    private Path truth;

    @Option(
            names = "--look",
            paramLabel = "PARAMETERS",
            defaultValue = "",
            description = {"of the pictures, such as colours=cubehelix,pixels-per-millimetre=20"})
    private String look;

    @Option(
            names = "--workers",
            paramLabel = "N",
            defaultValue = "0",
            description = "threads to use; default: one for each processor")
    private int workers;

    @Spec private CommandSpec spec;

    @Override
    public Integer call() throws IOException {
        PrintWriter out = spec.commandLine().getOut();
        try (Workers threads = Texts.workers(workers);
                FrameSource frames = Sources.open(location, Choice.of(source), threads)) {
            if (frames.frameCount() < 2) {
                throw new IllegalArgumentException(
                        frames.name()
                                + " has "
                                + frames.frameCount()
                                + " frame(s); strain needs at least two");
            }
            out.println(describe(frames));
            try (TrueMotion motion = motion(frames)) {
                PictureJob job =
                        new PictureJob(
                                frames,
                                Choice.of(estimator).provider(Catalogue.displacementEstimators()),
                                Choice.of(estimator).parameters(),
                                Choice.of(strain).provider(Catalogue.strainEstimators()),
                                Choice.of(strain).parameters(),
                                motion,
                                PictureConfig.schema().parse(LOOK, look),
                                threads);
                out.println(job.describe());
                out.flush();
                WholeFile.folder(folder);
                if (frames instanceof Phantom) {
                    RecordingWriter.write(folder.resolve("recording.h5"), frames);
                }
                job.run(folder);
                String table = job.table();
                out.println();
                out.println(table);
                WholeFile.write(
                        folder.resolve("measured.txt"),
                        describe(frames)
                                + "\n"
                                + job.describe()
                                + "\n\n"
                                + table
                                + "\n"
                                + Texts.wrapped(Cautions.TEXT)
                                + "\n");
                out.println("written to " + folder + ": " + job.written());
            }
        }
        out.println();
        out.println(Texts.wrapped(Cautions.TEXT));
        out.flush();
        return 0;
    }

    private TrueMotion motion(FrameSource frames) throws IOException {
        if (truth != null) {
            return TrueMotion.of(truth, frames.geometry());
        }
        return frames instanceof Phantom phantom ? TrueMotion.of(phantom) : null;
    }

    private static String describe(FrameSource frames) {
        return frames.name()
                + ": "
                + frames.frameCount()
                + " frames of "
                + Texts.describe(frames.geometry());
    }
}
