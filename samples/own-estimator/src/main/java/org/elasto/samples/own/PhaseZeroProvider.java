package org.elasto.samples.own;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/**
 * Makes estimators that follow the complex correlation of two windows to where its phase is zero.
 * Stateless and thread-safe.
 *
 * <p><b>What differs from the source.</b> It starts each depth from the one above; here each starts
 * from the best whole lag, so that no error runs down a line. The correlation is interpolated, not
 * the echo: both are linear, so the result is the same.
 *
 * <p><b>Limits.</b> No sideways motion; windows are three lines wide; rows every few samples.
 */
public final class PhaseZeroProvider implements DisplacementEstimatorProvider<PhaseZeroConfig> {

    /** For the service loader. */
    public PhaseZeroProvider() {}

    @Override
    public String name() {
        return "phase-zero";
    }

    @Override
    public String summary() {
        return "the zero of the phase of the complex correlation of two windows, by Newton's"
                + " method";
    }

    @Override
    public String source() {
        return "Pesavento et al., IEEE Trans UFFC 46(5):1057-1067, 1999 (from memory)";
    }

    @Override
    public PhaseZeroConfig defaults() {
        return new PhaseZeroConfig(2e-3, 0.7e-3);
    }

    @Override
    public DisplacementEstimator create(
            PhaseZeroConfig config, ScanGeometry geometry, Workers workers) {
        return new PhaseZeroEstimator(config, geometry, workers);
    }
}
