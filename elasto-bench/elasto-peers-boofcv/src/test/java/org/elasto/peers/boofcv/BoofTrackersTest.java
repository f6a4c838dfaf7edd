package org.elasto.peers.boofcv;

import static org.junit.jupiter.api.Assertions.assertTrue;

import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.peers.PeerProvider;
import org.elasto.phantoms.DisplacementError;
import org.elasto.phantoms.Phantom;
import org.junit.jupiter.api.Test;

class BoofTrackersTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(32, 800, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private static double bestError(PeerProvider<?> provider) {
        Phantom phantom =
                Phantom.builder().geometry(GEOMETRY).press(0, 0.003).noise(40, 15e-3).build();
        RfFrame first = phantom.newFrame();
        RfFrame second = phantom.newFrame();
        phantom.read(0, first);
        phantom.read(1, second);
        double best = Double.POSITIVE_INFINITY;
        for (String setting : provider.settings()) {
            DisplacementEstimator tracker =
                    Catalogue.create(provider, setting, GEOMETRY, Workers.sequential());
            DisplacementField field = tracker.newField();
            tracker.estimate(first, second, field);
            DisplacementError error =
                    DisplacementError.of(field, phantom.truth(0, 1, field.layout().grid()));
            System.out.println(provider.name() + " " + setting + ": " + error);
            best = Math.min(best, error.rootMeanSquare());
        }
        return best;
    }

    /** Held to the phantom's known motion of up to 46 um, 24 um in the mean: it does track. */
    @Test
    void templatesFollowTissue() {
        double error = bestError(new BoofTemplateProvider());
        assertTrue(error < 2e-6, "best error " + error);
    }

    /** A flow is far coarser, but must be nearer to the truth than saying that nothing moved. */
    @Test
    void flowFollowsTissue() {
        double error = bestError(new BoofFlowProvider());
        assertTrue(error < 20e-6, "best error " + error);
    }
}
