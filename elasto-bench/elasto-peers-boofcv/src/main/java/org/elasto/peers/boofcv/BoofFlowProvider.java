package org.elasto.peers.boofcv;

import java.util.List;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.peers.PeerProvider;

/** Axial displacement from a dense optical flow of BoofCV with its own parameters. */
public final class BoofFlowProvider implements PeerProvider<BoofFlowConfig> {

    /** Called by the service loader. */
    public BoofFlowProvider() {}

    @Override
    public String name() {
        return "peer-boofcv-flow";
    }

    @Override
    public String summary() {
        return "to compare with: dense optical flow of BoofCV";
    }

    @Override
    public String source() {
        return "common practice, no source";
    }

    @Override
    public BoofFlowConfig defaults() {
        return BoofFlowConfig.DEFAULTS;
    }

    @Override
    public List<String> settings() {
        return List.of("input=log-envelope", "input=rf", "input=log-envelope,method=brox-warping");
    }

    @Override
    public DisplacementEstimator create(
            BoofFlowConfig config, ScanGeometry geometry, Workers workers) {
        return new BoofFlowTracker(config, geometry, workers);
    }
}
