package org.elasto.tracking.phase;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/**
 * Dense axial displacement from the phase of windowed complex correlations, coarse to fine.
 *
 * <p>Both frames become complex baseband. A coarse search over blocks gives a start within a small
 * part of the wavelength. Then, a few times over: the second frame is warped by the running
 * displacement, sample by sample; the product of the two frames is averaged in a smooth Gaussian
 * window over depth and lines; its phase is what the displacement lacks. Because the warp follows
 * the running displacement within the window, strain does not spoil the correlation.
 *
 * <p>The phase of a windowed complex correlation as a measure of motion is that of Kasai, Namekawa,
 * Koyano and Omoto, IEEE Trans Sonics Ultrason 32(3):458-464, 1985, here between two frames instead
 * of two pulses, in two dimensions, and repeated after warping, so that neither the centre
 * frequency assumed nor the strain biases it. The predicted deviation follows Walker and Trahey,
 * IEEE Trans UFFC 42(2):301-308, 1995.
 *
 * <p>Limits: axial displacement only; tissue that moves sideways by more than about half a beam
 * width loses its match and is left out. Displacements beyond the search range are not found. Where
 * two blocks of tissue slip past each other within a window, the field is a mixture of both, marked
 * by a low correlation.
 */
public final class CoarseToFinePhaseProvider
        implements DisplacementEstimatorProvider<CoarseToFinePhaseConfig> {

    /** Called by the service loader. */
    public CoarseToFinePhaseProvider() {}

    @Override
    public String name() {
        return "coarse-to-fine-phase";
    }

    @Override
    public String summary() {
        return "dense axial displacement from the phase of smoothly windowed complex correlations,"
                + " warped and refined";
    }

    @Override
    public String source() {
        return "phase of the complex correlation: Kasai et al., IEEE Trans Sonics Ultrason"
                + " 32(3):458-464, 1985; deviation: Walker and Trahey, IEEE Trans UFFC"
                + " 42(2):301-308, 1995";
    }

    @Override
    public CoarseToFinePhaseConfig defaults() {
        return CoarseToFinePhaseConfig.DEFAULTS;
    }

    @Override
    public DisplacementEstimator create(
            CoarseToFinePhaseConfig config, ScanGeometry geometry, Workers workers) {
        return new CoarseToFinePhaseEstimator(config, geometry, workers);
    }
}
