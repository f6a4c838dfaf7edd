package org.elasto.peers.opencv;

import java.util.List;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.peers.PeerProvider;

/** Axial displacement from a dense optical flow of OpenCV with its own presets. */
public final class OpenCvFlowProvider implements PeerProvider<OpenCvFlowConfig> {

    /** Called by the service loader. */
    public OpenCvFlowProvider() {}

    @Override
    public String name() {
        return "peer-opencv-flow";
    }

    @Override
    public String summary() {
        return "to compare with: dense optical flow of OpenCV";
    }

    @Override
    public String source() {
        return "common practice, no source";
    }

    @Override
    public OpenCvFlowConfig defaults() {
        return OpenCvFlowConfig.DEFAULTS;
    }

    @Override
    public List<String> settings() {
        return List.of(
                "method=inverse-search-fast",
                "method=inverse-search-medium",
                "method=inverse-search-medium,input=rf",
                "method=polynomial",
                "method=polynomial,input=rf");
    }

    @Override
    public DisplacementEstimator create(
            OpenCvFlowConfig config, ScanGeometry geometry, Workers workers) {
        return new OpenCvFlowTracker(config, geometry, workers);
    }
}
