package org.elasto.api.plugin;

import java.io.IOException;

/**
 * Opens frame sources of one kind.
 *
 * @param <C> config record
 */
public interface FrameSourceProvider<C extends Record> extends PluginProvider<C> {

    /**
     * Whether a location looks like one of this kind: by its ending, its first bytes, or its name.
     *
     * @param location a file's path or whatever names a source of this kind
     * @return true if {@link #open} is worth a try
     */
    boolean recognises(String location);

    /**
     * Opens a source.
     *
     * @param config parameters
     * @param location a file's path or whatever names a source of this kind
     * @return the source
     * @throws IOException if it cannot be opened, naming the location, what was expected and found,
     *     and where
     * @throws IllegalArgumentException if a parameter does not fit the source, naming what there is
     */
    FrameSource open(C config, String location) throws IOException;
}
