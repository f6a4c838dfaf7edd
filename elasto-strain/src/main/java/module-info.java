/** Strain estimators and quality metrics (plugins), the live session, and pictures. */
@SuppressWarnings("requires-automatic") // EJML brings no module descriptors
module org.elasto.strain {
    requires transitive org.elasto.api;
    requires ejml.core;
    requires ejml.ddense;

    exports org.elasto.strain.adaptive;
    exports org.elasto.strain.generalised;
    exports org.elasto.strain.kalman;
    exports org.elasto.strain.leastsquares;
    exports org.elasto.strain.live;
    exports org.elasto.strain.measure;
    exports org.elasto.strain.picture;
    exports org.elasto.strain.quality;
    exports org.elasto.strain.smoothing;
    exports org.elasto.strain.totalvariation;

    provides org.elasto.api.plugin.StrainEstimatorProvider with
            org.elasto.strain.adaptive.AdaptiveWindowProvider,
            org.elasto.strain.generalised.GeneralisedLeastSquaresProvider,
            org.elasto.strain.kalman.KalmanSmootherProvider,
            org.elasto.strain.leastsquares.LeastSquaresLineProvider,
            org.elasto.strain.smoothing.SmoothingDerivativeProvider,
            org.elasto.strain.totalvariation.TotalVariationProvider;
    provides org.elasto.api.plugin.QualityMetricProvider with
            org.elasto.strain.quality.ConsecutiveAgreementProvider,
            org.elasto.strain.quality.ContactProvider,
            org.elasto.strain.quality.MatchCorrelationProvider,
            org.elasto.strain.quality.PredictedSignalToNoiseProvider,
            org.elasto.strain.quality.RegionContrastToNoiseProvider,
            org.elasto.strain.quality.RegionSignalToNoiseProvider,
            org.elasto.strain.quality.RegionStrainRatioProvider,
            org.elasto.strain.quality.UsableMotionProvider;
}
