package org.elasto.tracking.dynamicprogramming;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/**
 * Axial and lateral displacement by dynamic programming, refined under smoothness.
 *
 * <p>Both frames become complex baseband. For cells of depth and lines the complex correlation
 * gives the likelihood of every whole-sample lag, axial and lateral, within the search range.
 * Dynamic programming over the depth picks the sequence of lags with the greatest sum of
 * likelihood, less a price in proportion to the change of displacement that no longer rises beyond
 * a jump; neighbouring columns have their say through the same price. Peak and phase of the
 * correlation give a start between samples. Then, a few times over, one Gauss-Newton step for axial
 * and lateral displacement of all samples of a line together: squared residuals, averaged over
 * neighbouring lines, plus a penalty on the second difference along the line, a banded system
 * solved at once. Neighbours across a jump, and bends at a jump, are left out.
 *
 * <p>Dynamic programming with a continuity penalty is common in the literature since 2008, and so
 * is its refinement by a regularised linearised step; here the data are complex echoes instead of
 * RF samples, the continuity price is truncated, the penalty is on the bend instead of the slope,
 * so that it does not pull strain towards zero, and the smoothness is a length. The predicted
 * deviation follows Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995, with the window that
 * averages as much as the smoothness does, which follows from the solve's response to one sample.
 *
 * <p>Limits: where the echo is weak the smoothness reaches farther than its length, and near a slip
 * or the ends of a line there is less to average; the ends are accounted for in the predicted
 * deviation, slips are not. Displacements beyond the search range are not found. A slip is found to
 * within a cell (0.45 mm by 0.9 mm). Cost grows with the search range, in each direction in
 * proportion.
 */
public final class DynamicProgrammingProvider
        implements DisplacementEstimatorProvider<DynamicProgrammingConfig> {

    /** Called by the service loader. */
    public DynamicProgrammingProvider() {}

    @Override
    public String name() {
        return "dynamic-programming";
    }

    @Override
    public String summary() {
        return "axial and lateral displacement by dynamic programming over the depth, refined by"
                + " Gauss-Newton steps under smoothness";
    }

    @Override
    public String source() {
        return "dynamic programming with a continuity penalty: common in the literature since 2008;"
                + " deviation: Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995";
    }

    @Override
    public DynamicProgrammingConfig defaults() {
        return DynamicProgrammingConfig.DEFAULTS;
    }

    @Override
    public DisplacementEstimator create(
            DynamicProgrammingConfig config, ScanGeometry geometry, Workers workers) {
        return new DynamicProgrammingEstimator(config, geometry, workers);
    }
}
