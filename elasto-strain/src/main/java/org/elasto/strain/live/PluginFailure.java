package org.elasto.strain.live;

/** An estimator threw, or gave what its contract forbids; the message is its name. */
final class PluginFailure extends RuntimeException {

    private static final long serialVersionUID = 1L;

    private final Stage stage;

    PluginFailure(String plugin, Stage stage, Throwable cause) {
        super(plugin, cause);
        this.stage = stage;
    }

    Stage stage() {
        return stage;
    }
}
