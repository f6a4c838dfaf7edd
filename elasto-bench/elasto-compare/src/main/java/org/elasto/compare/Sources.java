package org.elasto.compare;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.elasto.api.Workers;
import org.elasto.api.config.ConfigSchema;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.FrameSourceProvider;
import org.elasto.phantoms.PhantomConfig;
import org.elasto.phantoms.Phantoms;

/** Opens a recording or a phantom by what its location looks like, or by the provider's name. */
final class Sources {

    /** The provider of phantoms. */
    static final String PHANTOM = "phantom";

    private Sources() {}

    /**
     * Opens a source. Phantoms get workers of the caller.
     *
     * @param location a file, or a phantom's scene
     * @param choice provider and parameters; without a name the location decides
     * @param workers threads that the frames of phantoms are made with
     * @return the source
     * @throws IOException if it cannot be opened
     * @throws IllegalArgumentException if nothing recognises the location
     */
    static FrameSource open(String location, Choice choice, Workers workers) throws IOException {
        Catalogue<FrameSourceProvider<?>> catalogue = Catalogue.frameSources();
        boolean phantom = choice.name().isEmpty() || choice.name().equals(PHANTOM);
        if (phantom && PhantomFile.recognises(location)) {
            return PhantomFile.open(Path.of(location), values(choice), workers);
        }
        if (phantom && Phantoms.names().contains(location)) {
            ConfigSchema<PhantomConfig> schema = ConfigSchema.of(PhantomConfig.class);
            PhantomConfig config = schema.parse(PhantomConfig.DEFAULTS, choice.parameters());
            return Phantoms.builder(location, config).workers(workers).build();
        }
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
                            + String.join(", ", Phantoms.names()));
        }
        throw new IllegalArgumentException(
                "what kind of recording '"
                        + location
                        + "' is cannot be told from it; name it by --source, one of: "
                        + String.join(", ", catalogue.names()));
    }

    /** A file that must be there. */
    static Path file(Path file) throws IOException {
        if (!Files.exists(file)) {
            throw new java.nio.file.NoSuchFileException(
                    file.toString(), null, "there is no such file");
        }
        return file;
    }

    private static Map<String, String> values(Choice choice) {
        Map<String, String> values = new LinkedHashMap<>();
        for (String pair : choice.parameters().split(",")) {
            String[] parts = pair.split("=", 2);
            if (!pair.isBlank()) {
                values.put(parts[0].trim(), parts.length < 2 ? "" : parts[1].trim());
            }
        }
        return values;
    }

    /** Opens a source whose frames are made or read by one thread. */
    static FrameSource open(String location, Choice choice) throws IOException {
        return open(location, choice, Workers.sequential());
    }
}
