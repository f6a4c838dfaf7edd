package org.elasto.compare;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.FrameSourceProvider;

/** Opens a recording or a phantom by what its location looks like, or by the provider's name. */
final class Sources {

    private Sources() {}

    /**
     * Opens a source.
     *
     * @param location a file, or a phantom's scene
     * @param choice provider and parameters; without a name the location decides
     * @return the source
     * @throws IOException if it cannot be opened
     * @throws IllegalArgumentException if nothing recognises the location
     */
    static FrameSource open(String location, Choice choice) throws IOException {
        Catalogue<FrameSourceProvider<?>> catalogue = Catalogue.frameSources();
        if (!choice.name().isEmpty()) {
            return Catalogue.open(catalogue.get(choice.name()), choice.parameters(), location);
        }
        List<FrameSourceProvider<?>> fitting =
                catalogue.providers().stream().filter(p -> p.recognises(location)).toList();
        if (fitting.size() == 1) {
            return Catalogue.open(fitting.get(0), choice.parameters(), location);
        }
        if (!Files.exists(Path.of(location))) {
            throw new IllegalArgumentException(
                    "'"
                            + location
                            + "' is neither a file nor a phantom; phantoms: "
                            + String.join(", ", org.elasto.phantoms.Phantoms.names()));
        }
        throw new IllegalArgumentException(
                "what kind of recording '"
                        + location
                        + "' is cannot be told from it; name it by --source, one of: "
                        + String.join(", ", catalogue.names()));
    }
}
