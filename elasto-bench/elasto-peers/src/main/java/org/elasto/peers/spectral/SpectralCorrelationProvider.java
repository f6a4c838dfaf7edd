package org.elasto.peers.spectral;

import java.util.List;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.peers.PeerProvider;

/**
 * Axial displacement from the peak of circular cross-correlations of windows, by the fast Fourier
 * transform of Commons Math, with a parabola between samples. Textbook practice, without anything
 * that this project knows about echoes; there to be compared with. Uses one worker.
 */
public final class SpectralCorrelationProvider implements PeerProvider<SpectralCorrelationConfig> {

    /** Called by the service loader. */
    public SpectralCorrelationProvider() {}

    @Override
    public String name() {
        return "peer-spectral-correlation";
    }

    @Override
    public String summary() {
        return "to compare with: windowed cross-correlation by the transform of Commons Math";
    }

    @Override
    public String source() {
        return "common practice, no source";
    }

    @Override
    public SpectralCorrelationConfig defaults() {
        return SpectralCorrelationConfig.DEFAULTS;
    }

    @Override
    public List<String> settings() {
        return List.of(
                "input=rf,window-samples=128",
                "input=rf,window-samples=64",
                "input=log-envelope,window-samples=128");
    }

    @Override
    public DisplacementEstimator create(
            SpectralCorrelationConfig config, ScanGeometry geometry, Workers workers) {
        return new SpectralCorrelationTracker(config, geometry);
    }
}
