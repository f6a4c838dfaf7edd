package org.elasto.conformance;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/** An honest displacement estimator, written to be read, that passes the kit. */
public final class PlainPhaseProvider implements DisplacementEstimatorProvider<PlainPhaseConfig> {

    /** Its window is three lines wide, 0.9 mm in the kit's own scan. */
    static final DisplacementExpectations STATED =
            DisplacementExpectations.DEFAULTS.withWindowWidth(0.9e-3);

    /** For the service loader. */
    public PlainPhaseProvider() {}

    @Override
    public String name() {
        return "plain-phase";
    }

    @Override
    public String summary() {
        return "best match of rectangular windows among whole lags, refined by the phase";
    }

    @Override
    public String source() {
        return "Kasai et al., IEEE Trans Sonics Ultrason 32(3):458-464, 1985";
    }

    @Override
    public PlainPhaseConfig defaults() {
        return new PlainPhaseConfig(2e-3, 1, 0.7e-3);
    }

    @Override
    public DisplacementEstimator create(
            PlainPhaseConfig config, ScanGeometry geometry, Workers workers) {
        return new PlainPhaseEstimator(config, geometry, workers);
    }
}
