package org.elasto.conformance;

import org.elasto.api.plugin.StrainEstimatorProvider;

/** An honest strain estimator passes the kit. */
class PlainSlopeConformanceTest extends StrainEstimatorConformance {

    @Override
    protected StrainEstimatorProvider<?> provider() {
        return new PlainSlopeProvider();
    }
}
