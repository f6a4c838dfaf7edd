package org.elasto.compare;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.FrameSource;
import org.elasto.phantoms.Phantom;

/**
 * A recording or phantom of a comparison.
 *
 * @param label how it is called in tables
 * @param location a file, or a phantom's scene
 * @param kind the frame source's provider, empty to be told from the location
 * @param parameters what is given of its parameters
 * @param truth the file of its true motion, or null
 * @param pictures whether the report shows pictures of it
 */
record PlannedSource(
        String label,
        String location,
        String kind,
        String parameters,
        Path truth,
        boolean pictures) {

    FrameSource open(Workers workers) throws IOException {
        return Sources.open(location, new Choice(kind, parameters), workers);
    }

    /** The true motion of the opened source; null if it is not known. */
    TrueMotion motion(FrameSource frames) throws IOException {
        ScanGeometry geometry = frames.geometry();
        if (truth != null) {
            return TrueMotion.of(truth, geometry);
        }
        return frames instanceof Phantom phantom ? TrueMotion.of(phantom) : null;
    }

    /** What the outcome depends on: everything that is given, and what is in the files. */
    String identity() throws IOException {
        StringBuilder text = new StringBuilder("source\n" + kind + "\n" + parameters + "\n");
        for (Path file : new Path[] {Path.of(location), truth}) {
            boolean there = file != null && Files.isRegularFile(file);
            text.append(there ? Fingerprint.of(file) : location).append('\n');
        }
        return text.toString();
    }
}
