/**
 * Value types and plugin contracts of elasto: freehand ultrasound strain imaging as a library.
 *
 * <p>This module depends on nothing but {@code java.base}. Displacement estimators, strain
 * estimators, quality metrics and frame sources meet here and nowhere else.
 */
module org.elasto.api {
    exports org.elasto.api;
    exports org.elasto.api.config;
    exports org.elasto.api.plugin;
    exports org.elasto.api.signal;

    uses org.elasto.api.plugin.FrameSourceProvider;
    uses org.elasto.api.plugin.DisplacementEstimatorProvider;
    uses org.elasto.api.plugin.StrainEstimatorProvider;
    uses org.elasto.api.plugin.QualityMetricProvider;
}
