package org.elasto.strain.live;

import java.util.Objects;

/**
 * Something that went wrong with a frame; the session goes on.
 *
 * @param plugin who failed: the plugin's name, or what it is
 * @param stage what was being done
 * @param frameIndex index of the frame
 * @param cause what was thrown; for a plugin that gave what its contract forbids, an {@link
 *     IllegalStateException} that says what
 */
public record LiveFailure(String plugin, Stage stage, long frameIndex, Throwable cause) {

    public LiveFailure {
        Objects.requireNonNull(plugin, "plugin is missing");
        Objects.requireNonNull(stage, "stage is missing");
        Objects.requireNonNull(cause, "cause is missing");
    }

    @Override
    public String toString() {
        return plugin + " failed at frame " + frameIndex + " (" + stage + "): " + cause;
    }
}
