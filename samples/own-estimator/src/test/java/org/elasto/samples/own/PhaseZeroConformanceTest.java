package org.elasto.samples.own;

import org.elasto.api.plugin.DisplacementEstimatorProvider;
import org.elasto.conformance.DisplacementEstimatorConformance;
import org.elasto.conformance.DisplacementExpectations;

/** The estimator holds to all that the conformance kit asks. */
class PhaseZeroConformanceTest extends DisplacementEstimatorConformance {

    /** Its window is three lines wide: 0.9 mm in the kit's scan. */
    static final DisplacementExpectations STATED =
            DisplacementExpectations.DEFAULTS.withWindowWidth(0.9e-3);

    @Override
    protected DisplacementEstimatorProvider<?> provider() {
        return new PhaseZeroProvider();
    }

    @Override
    protected DisplacementExpectations expectations() {
        return STATED;
    }
}
