/** Displacement estimators: plugins that track tissue from one RF frame to another. */
@SuppressWarnings("requires-automatic")
module org.elasto.tracking {
    requires transitive org.elasto.api;
    requires commons.math3;

    exports org.elasto.tracking.autocorrelation;
    exports org.elasto.tracking.blockmatching;
    exports org.elasto.tracking.correlation;
    exports org.elasto.tracking.dynamicprogramming;
    exports org.elasto.tracking.lattice;
    exports org.elasto.tracking.opticalflow;
    exports org.elasto.tracking.phase;
    exports org.elasto.tracking.seedgrowth;

    provides org.elasto.api.plugin.DisplacementEstimatorProvider with
            org.elasto.tracking.autocorrelation.FixedAutocorrelationProvider,
            org.elasto.tracking.autocorrelation.LocalAutocorrelationProvider,
            org.elasto.tracking.blockmatching.BlockMatchingProvider,
            org.elasto.tracking.correlation.CrossCorrelationProvider,
            org.elasto.tracking.dynamicprogramming.DynamicProgrammingProvider,
            org.elasto.tracking.lattice.AxialLatticePhaseProvider,
            org.elasto.tracking.lattice.LatticePhaseProvider,
            org.elasto.tracking.opticalflow.VariationalFlowProvider,
            org.elasto.tracking.phase.CoarseToFinePhaseProvider,
            org.elasto.tracking.seedgrowth.SeedGrowthProvider;
}
