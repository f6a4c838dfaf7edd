package org.elasto.tracking.opticalflow;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/** Placeholder text. */
public final class VariationalFlowProvider
        implements DisplacementEstimatorProvider<VariationalFlowConfig> {

    /** Called by the service loader. */
    public VariationalFlowProvider() {}

    @Override
    public String name() {
        return "variational-flow";
    }

    @Override
    public String summary() {
        return "axial and lateral displacement by optical flow on the complex echo, smooth in"
                + " strain, giving way at jumps";
    }

    @Override
    public String source() {
        return "regularised optical flow: Horn and Schunck, Artificial Intelligence 17:185-203,"
                + " 1981; deviation: Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995";
    }

    @Override
    public VariationalFlowConfig defaults() {
        return VariationalFlowConfig.DEFAULTS;
    }

    @Override
    public DisplacementEstimator create(
            VariationalFlowConfig config, ScanGeometry geometry, Workers workers) {
        return new VariationalFlowEstimator(config, geometry, workers);
    }
}
