package org.elasto.tracking.lattice;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/**
 * Axial and lateral displacement from a search on a sparse lattice of cells, refined by the phase
 * of dense correlations: made for speed.
 *
 * <p>Both frames become complex baseband, summed over blocks wherever that is enough: of a row's
 * depth, and two lines where those are narrow against the window. On a lattice of cells, one for
 * four lines and four blocks, the narrow middle of the band gives the likelihood of every lag;
 * dynamic programming along the depth, with a price that never exceeds that of a jump, picks a
 * path; at nine samples around it the whole band gives peak and phase. From this start, smoothed
 * but not across jumps, the complex correlation of every block is taken at eight lags, mixed to any
 * place between them, smoothed by a Gaussian window over depth and lines, and its phase added to
 * the displacement: twice, so that together the window answers {@code 2 w - w * w}, flatter than w
 * alone. The lateral displacement is a least-squares step from the slope of the echo across the
 * lines, after which the second frame is read anew between its lines. Lines of the field lie
 * between strips of blocks.
 *
 * <p>The phase of a windowed complex correlation is that of Kasai, Namekawa, Koyano and Omoto, IEEE
 * Trans Sonics Ultrason 32(3):458-464, 1985, between two frames instead of two pulses; dynamic
 * programming with a continuity penalty is common in the literature since 2008; the predicted
 * deviation follows Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995, with the number of
 * independent samples measured on the pair, in bands of depth, from what is left over in
 * quadrature.
 *
 * <p>Limits: within a block tissue is taken to move as a whole, which costs precision where strain
 * exceeds 1 % from frame to frame. A slip is found to within a cell (1.2 mm), and within that of
 * one along the lines up to a tenth of the places are wrong by more than a quarter of the
 * wavelength. From 3 % of strain on the predicted deviation may be much too small (up to 2.8 times,
 * seen at 10 MHz). Within a window's length before a reflector errors are several times those
 * elsewhere, as predicted. Lateral displacement of echoes that are independent from line to line is
 * not found. Cost grows with the search range in the lattice search only.
 */
public final class LatticePhaseProvider
        implements DisplacementEstimatorProvider<LatticePhaseConfig> {

    /** Called by the service loader. */
    public LatticePhaseProvider() {}

    @Override
    public String name() {
        return "lattice-phase";
    }

    @Override
    public String summary() {
        return "axial and lateral displacement from a search on a sparse lattice, refined by phase";
    }

    @Override
    public String source() {
        return "phase of the complex correlation: Kasai et al., IEEE Trans Sonics Ultrason"
                + " 32(3):458-464, 1985; deviation: Walker and Trahey, IEEE Trans UFFC"
                + " 42(2):301-308, 1995";
    }

    @Override
    public LatticePhaseConfig defaults() {
        return LatticePhaseConfig.DEFAULTS;
    }

    @Override
    public boolean preferred() {
        return true;
    }

    @Override
    public DisplacementEstimator create(
            LatticePhaseConfig config, ScanGeometry geometry, Workers workers) {
        return new LatticePhaseEstimator(config, geometry, workers);
    }
}
