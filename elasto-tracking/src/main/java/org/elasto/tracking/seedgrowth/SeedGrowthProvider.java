package org.elasto.tracking.seedgrowth;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/**
 * Axial and lateral displacement by growing from reliable seeds, best match first.
 *
 * <p>Both frames become complex baseband. Seeds spread over the frame start from a coarse search;
 * those that match well and lead back from the second frame to the first are kept. From the best
 * cell found so far its neighbours are matched, guessed from its displacement and gradient, by a
 * local matcher of complex correlations; a cell that matches badly is not grown from. A jump of the
 * displacement therefore spoils nothing behind it. The cells' displacements then start a dense
 * refinement: Gauss-Newton steps for axial and lateral displacement in smooth windows around every
 * sample.
 *
 * <p>The order of the search is that of Pan, Applied Optics 48(8):1535-1542, 2009 (digital image
 * correlation). Changed from it: many seeds instead of one, checked forwards and backwards; the
 * matcher works on complex echoes; strips are grown independently before they are joined, so that
 * several workers can share the work; a cell that failed is tried again from its other neighbours;
 * a dense refinement follows. The predicted deviation follows Walker and Trahey, IEEE Trans UFFC
 * 42(2):301-308, 1995.
 *
 * <p>Limits: a region needs a seed or a bridge of well matching cells; one that has neither takes
 * the displacement of what lies nearest, and is then left out unless that fits. Seeds are looked
 * for within the search range, grown cells may go beyond it. A slip is found to within a cell (0.6
 * mm by 0.9 mm).
 */
public final class SeedGrowthProvider implements DisplacementEstimatorProvider<SeedGrowthConfig> {

    /** Called by the service loader. */
    public SeedGrowthProvider() {}

    @Override
    public String name() {
        return "seed-growth";
    }

    @Override
    public String summary() {
        return "axial and lateral displacement by growing from reliable seeds, best match first";
    }

    @Override
    public String source() {
        return "order of the search: Pan, Applied Optics 48(8):1535-1542, 2009; deviation: Walker"
                + " and Trahey, IEEE Trans UFFC 42(2):301-308, 1995";
    }

    @Override
    public SeedGrowthConfig defaults() {
        return SeedGrowthConfig.DEFAULTS;
    }

    @Override
    public DisplacementEstimator create(
            SeedGrowthConfig config, ScanGeometry geometry, Workers workers) {
        return new SeedGrowthEstimator(config, geometry, workers);
    }
}
