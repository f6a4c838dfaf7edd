/** Strain estimators and quality metrics (plugins), the live session, and pictures. */
module org.elasto.strain {
    requires transitive org.elasto.api;

    exports org.elasto.strain.leastsquares;

    provides org.elasto.api.plugin.StrainEstimatorProvider with
            org.elasto.strain.leastsquares.LeastSquaresLineProvider;
}
