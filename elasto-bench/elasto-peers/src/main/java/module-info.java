/** What trackers made from general-purpose libraries share, and the first of them. */
@SuppressWarnings("requires-automatic")
module org.elasto.peers {
    requires transitive org.elasto.api;
    requires commons.math3;

    exports org.elasto.peers;
    exports org.elasto.peers.spectral;

    provides org.elasto.api.plugin.DisplacementEstimatorProvider with
            org.elasto.peers.spectral.SpectralCorrelationProvider;
}
