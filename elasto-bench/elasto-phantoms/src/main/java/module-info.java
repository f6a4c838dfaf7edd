/** Synthetic RF frames with exactly known motion: a frame source for tests and comparisons. */
@SuppressWarnings("requires-automatic")
module org.elasto.phantoms {
    requires transitive org.elasto.api;
    requires commons.math3;

    exports org.elasto.phantoms;
    exports org.elasto.phantoms.motion;

    provides org.elasto.api.plugin.FrameSourceProvider with
            org.elasto.phantoms.PhantomProvider;
}
