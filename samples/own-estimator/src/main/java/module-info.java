/** A displacement estimator of one's own, found by name wherever this module is present. */
module org.elasto.samples.own {
    requires transitive org.elasto.api;

    exports org.elasto.samples.own;

    provides org.elasto.api.plugin.DisplacementEstimatorProvider with
            org.elasto.samples.own.PhaseZeroProvider;
}
