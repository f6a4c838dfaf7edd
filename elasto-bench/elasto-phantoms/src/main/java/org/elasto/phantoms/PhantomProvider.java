package org.elasto.phantoms;

import java.io.IOException;
import java.nio.file.NoSuchFileException;
import org.elasto.api.plugin.FrameSourceProvider;

/** Opens {@linkplain Phantoms ready scenes} by their names. Stateless and thread-safe. */
public final class PhantomProvider implements FrameSourceProvider<PhantomConfig> {

    /** For the service loader. */
    public PhantomProvider() {}

    @Override
    public String name() {
        return "phantom";
    }

    @Override
    public String summary() {
        return "Synthetic RF of simulated tissue whose motion is known exactly, by scene name";
    }

    @Override
    public String source() {
        return "Scatterer model: common practice, no source; inclusions: Eshelby, Proc R Soc A"
                + " 241:376-396, 1957; Goodier, J Appl Mech 1:39-44, 1933";
    }

    @Override
    public PhantomConfig defaults() {
        return PhantomConfig.DEFAULTS;
    }

    @Override
    public boolean recognises(String location) {
        return Phantoms.names().contains(location);
    }

    /**
     * Makes a scene.
     *
     * @param config parameters
     * @param location name of the scene
     * @return the phantom
     * @throws IOException if there is no such scene, with the scenes there are
     */
    @Override
    public Phantom open(PhantomConfig config, String location) throws IOException {
        if (!recognises(location)) {
            throw new NoSuchFileException(location, null, Phantoms.noSuchScene(location));
        }
        return Phantoms.builder(location, config).build();
    }
}
