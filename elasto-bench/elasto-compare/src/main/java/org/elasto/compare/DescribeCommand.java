package org.elasto.compare;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import org.elasto.api.Workers;
import org.elasto.api.plugin.FrameSource;
import org.elasto.recordings.RecordedArrays;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.array.ScanNames;
import org.elasto.strain.picture.Cautions;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Tells what is in a recording. */
@Command(
        name = "describe",
        description = {
            "Tells what is in a recording: the arrays that were found, scan, frames, damage; echo"
                    + " and noise by",
            "depth, saturation, dead lines. Where a file cannot be read as frames, it tells what"
                    + " is missing."
        },
        mixinStandardHelpOptions = true,
        versionProvider = Main.Version.class,
        sortOptions = false,
        footer = {
            "",
            "Noise is taken as white, at the level of the quietest tenth of the frequencies.",
            "",
            Cautions.TEXT
        })
final class DescribeCommand implements Callable<Integer> {

    @Parameters(
            paramLabel = "RECORDING",
            description = "a recording, or the name or file of a phantom")
    private String location;

    @Option(
            names = "--source",
            paramLabel = "CHOICE",
            defaultValue = "",
            description = {
                "what reads it, as name or name:parameter=value,...; parameters alone",
                "(':array-name=rf,...') leave the kind to be told from the file"
            })
    private String source;

    @Spec private CommandSpec spec;

    @Override
    public Integer call() throws IOException {
        PrintWriter out = spec.commandLine().getOut();
        Path path = Path.of(location);
        if (Files.isRegularFile(path)) {
            List<ArrayInfo> arrays = RecordedArrays.of(path);
            if (!arrays.isEmpty()) {
                out.println("arrays found:");
                arrays.forEach(
                        a ->
                                out.println(
                                        "  "
                                                + a
                                                + (a.holdsFrames() ? "   could hold frames" : "")));
                out.flush();
            }
        }
        try (Workers threads = Texts.workers(0);
                FrameSource frames = Sources.open(location, Choice.of(source), threads)) {
            out.println(
                    frames.name()
                            + ": "
                            + frames.frameCount()
                            + " frame(s) of "
                            + Texts.describe(frames.geometry())
                            + ", "
                            + frames.sampleType().name().toLowerCase(java.util.Locale.ROOT));
            for (Map.Entry<String, Object> entry :
                    ScanNames.parameters(frames.geometry()).entrySet()) {
                out.println("  " + entry.getKey() + " = " + entry.getValue());
            }
            frames.damage().ifPresent(damage -> out.println("damaged: " + damage));
            if (frames.frameCount() > 0) {
                out.print(new RecordingCheck(frames).text());
            }
        }
        out.flush();
        return 0;
    }
}
