package org.elasto.peers.boofcv;

import java.util.List;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.peers.PeerProvider;
import org.elasto.peers.TemplateConfig;

/** Axial displacement from the normalised template matching of BoofCV. Uses one worker. */
public final class BoofTemplateProvider implements PeerProvider<TemplateConfig> {

    /** Called by the service loader. */
    public BoofTemplateProvider() {}

    @Override
    public String name() {
        return "peer-boofcv-template";
    }

    @Override
    public String summary() {
        return "to compare with: normalised template matching of BoofCV";
    }

    @Override
    public String source() {
        return "common practice, no source";
    }

    @Override
    public TemplateConfig defaults() {
        return TemplateConfig.DEFAULTS;
    }

    @Override
    public List<String> settings() {
        return List.of(
                "input=rf", "input=log-envelope", "input=rf,window-samples=60,window-lines=1");
    }

    @Override
    public DisplacementEstimator create(
            TemplateConfig config, ScanGeometry geometry, Workers workers) {
        return new BoofTemplateTracker(config, geometry, workers);
    }
}
