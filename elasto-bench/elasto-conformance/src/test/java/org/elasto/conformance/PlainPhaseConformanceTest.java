package org.elasto.conformance;

import org.elasto.api.plugin.DisplacementEstimatorProvider;

/** An honest estimator passes the kit. */
class PlainPhaseConformanceTest extends DisplacementEstimatorConformance {

    @Override
    protected DisplacementEstimatorProvider<?> provider() {
        return new PlainPhaseProvider();
    }

    @Override
    protected DisplacementExpectations expectations() {
        return PlainPhaseProvider.STATED;
    }
}
