package org.elasto.tracking.lattice;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/**
 * Axial displacement alone from a search on a sparse lattice, refined by phase: {@link
 * LatticePhaseProvider} without the lateral part, at less than half the cost.
 *
 * <p>Limits: besides those, tissue that moves sideways loses its match, as with every estimator
 * that knows one direction only; at 2.5 % of strain a tenth of the picture is lost.
 *
 * <p>With {@code line-step} from 2 to 4 only every so manieth line is converted and tracked, and
 * time falls nearly as much; where noise differs from line to line it then counts for more, what is
 * narrower than the step is not seen, and mirrored frames give mirrored fields only to within the
 * noise. Rows twice as far apart ({@code row-spacing=6.2e-4}) are still three to a window.
 */
public final class AxialLatticePhaseProvider
        implements DisplacementEstimatorProvider<LatticePhaseConfig> {

    /** Called by the service loader. */
    public AxialLatticePhaseProvider() {}

    @Override
    public String name() {
        return "axial-lattice-phase";
    }

    @Override
    public String summary() {
        return "axial displacement alone from a search on a sparse lattice, refined by phase";
    }

    @Override
    public String source() {
        return "phase of the complex correlation: Kasai et al., IEEE Trans Sonics Ultrason"
                + " 32(3):458-464, 1985; deviation: Walker and Trahey, IEEE Trans UFFC"
                + " 42(2):301-308, 1995";
    }

    @Override
    public LatticePhaseConfig defaults() {
        return LatticePhaseConfig.FASTEST;
    }

    @Override
    public DisplacementEstimator create(
            LatticePhaseConfig config, ScanGeometry geometry, Workers workers) {
        return new LatticePhaseEstimator(config, geometry, workers);
    }
}
