package org.elasto.compare;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.elasto.api.Workers;
import org.elasto.api.plugin.FrameSource;
import org.elasto.recordings.RecordingWriter;
import org.elasto.strain.picture.Cautions;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Makes the recording of a phantom. */
@Command(
        name = "phantom",
        description = {
            "Makes a recording (HDF5) of a phantom: of a ready scene, or of one that a small text"
                    + " file (TOML)",
            "describes."
        },
        mixinStandardHelpOptions = true,
        versionProvider = Main.Version.class,
        sortOptions = false,
        footer = {
            "",
            "A phantom's file, in SI units; the file may also be a source of 'picture' and"
                    + " 'compare':",
            "  scene = \"uniform\"         # what is added to; see 'plugins phantom' for"
                    + " parameters",
            "  seed = 7                  # chooses scatterers and noise",
            "  frames = 6",
            "  strain-per-frame = 0.003",
            "  [[inclusion]]",
            "  shape = \"cylinder\"        # or sphere",
            "  x = -5e-3",
            "  depth = 18e-3",
            "  radius = 3e-3",
            "  stiffness = 3             # times that of the surroundings",
            "  [[bone]]",
            "  depth = 38e-3             # also from-x, to-x, curvature-radius, roughness,"
                    + " brightness",
            "  [[lost-contact]]",
            "  first-frame = 3",
            "  last-frame = 3            # also first-line, last-line",
            "",
            Cautions.TEXT
        })
final class PhantomCommand implements Callable<Integer> {

    @Parameters(paramLabel = "PHANTOM", description = "a file (.toml) or the name of a scene")
    private String phantom;

    @Option(
            names = "--to",
            paramLabel = "FILE",
            defaultValue = "recording.h5",
            description = "the recording; default: ${DEFAULT-VALUE}")
    private Path file;

    @Option(
            names = "--set",
            paramLabel = "PARAMETERS",
            defaultValue = "",
            description = "parameters such as seed=3,snr=20; they come before those of the file")
    private String parameters;

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
                FrameSource frames =
                        Sources.open(phantom, new Choice(Sources.PHANTOM, parameters), threads)) {
            RecordingWriter.write(file, frames);
            out.println(
                    "written to "
                            + file
                            + ": "
                            + frames.frameCount()
                            + " frames of "
                            + Texts.describe(frames.geometry()));
            out.flush();
        }
        return 0;
    }
}
