/** Displacement estimators: plugins that track tissue from one RF frame to another. */
module org.elasto.tracking {
    requires transitive org.elasto.api;

    exports org.elasto.tracking.correlation;
    exports org.elasto.tracking.dynamicprogramming;
    exports org.elasto.tracking.opticalflow;
    exports org.elasto.tracking.phase;
    exports org.elasto.tracking.seedgrowth;

    provides org.elasto.api.plugin.DisplacementEstimatorProvider with
            org.elasto.tracking.correlation.CrossCorrelationProvider,
            org.elasto.tracking.dynamicprogramming.DynamicProgrammingProvider,
            org.elasto.tracking.opticalflow.VariationalFlowProvider,
            org.elasto.tracking.phase.CoarseToFinePhaseProvider,
            org.elasto.tracking.seedgrowth.SeedGrowthProvider;
}
