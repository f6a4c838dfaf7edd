package org.elasto.strain.live;

import java.util.HashMap;
import java.util.Map;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.PhantomConfig;
import org.elasto.phantoms.Phantoms;
import org.elasto.phantoms.Truth;

/**
 * A displacement estimator that looks up the true motion of a phantom by the frames' indices, so
 * that the session can be tested apart from any tracker.
 */
class KnownMotion implements DisplacementEstimator {

    static final ScanGeometry SMALL =
            ScanGeometry.linear(32, 1300, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private final Phantom phantom;
    private final FieldLayout layout;
    private final Map<Long, Truth> truths = new HashMap<>();

    KnownMotion(Phantom phantom) {
        this.phantom = phantom;
        int rows = (int) (phantom.geometry().lastDepth() / 0.2e-3);
        layout =
                new FieldLayout(
                        phantom.geometry(),
                        new RowGrid(rows, 0, 0.2e-3),
                        false,
                        ErrorCorrelation.INDEPENDENT);
    }

    static Phantom pressed(String scene, int frames, double strainPerFrame) {
        return builder(scene, frames, strainPerFrame).build();
    }

    static Phantom.Builder builder(String scene, int frames, double strainPerFrame) {
        return Phantoms.builder(
                        scene,
                        PhantomConfigs.with(
                                "frames=" + frames + ",strain-per-frame=" + strainPerFrame))
                .geometry(SMALL);
    }

    @Override
    public FieldLayout layout() {
        return layout;
    }

    @Override
    public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
        long key = reference.index() << 32 | moved.index();
        Truth truth = truths.get(key);
        if (truth == null) {
            truth = phantom.truth((int) reference.index(), (int) moved.index(), layout.grid());
            truths.put(key, truth);
        }
        for (int i = 0; i < layout.planeSize(); i++) {
            if (truth.visible()[i]) {
                out.axial()[i] = truth.axial()[i];
                out.correlation()[i] = 0.99f;
                out.axialDeviation()[i] = 0.2e-6f;
            } else {
                out.markUnknown(i);
            }
        }
    }

    /** Phantom configs by text. */
    static final class PhantomConfigs {

        private PhantomConfigs() {}

        static PhantomConfig with(String text) {
            return org.elasto.api.config.ConfigSchema.of(PhantomConfig.class)
                    .parse(PhantomConfig.DEFAULTS, text);
        }
    }
}
