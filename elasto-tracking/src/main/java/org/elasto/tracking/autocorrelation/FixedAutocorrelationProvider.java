package org.elasto.tracking.autocorrelation;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/**
 * Axial displacement from the phase of the lag-one autocorrelation, turned into metres by the
 * centre frequency as the geometry gives it.
 *
 * <p>Both frames become complex baseband; the product of the second with the conjugate of the first
 * is summed in a rectangular window over depth and, if wanted, lines; the phase of the sum times
 * the wavelength over 4&pi; is the displacement. This is the estimator of Kasai, Namekawa, Koyano
 * and Omoto, IEEE Trans Sonics Ultrason 32(3):458-464, 1985, for an ensemble of two, here two
 * frames instead of two pulses. No search, no warping, one pass. Correlation and the deviation that
 * random errors cause are judged after the displacement has been undone; the deviation is widened
 * by the displacement times how far the local centre frequencies lie from the assumed one, and by
 * the local strain times how far the echo's centre of energy lies from the middle of its window.
 *
 * <p>Range: the frequency within a window differs from that assumed, by chance, so that with the
 * default window and an echo of 60 % bandwidth the displacement is off by 3 % of itself. The jitter
 * stays within 1.3 times the smallest possible one up to displacements of 25 times that: at 7.5 MHz
 * and for three independent lines 23, 7 and 2 &micro;m at 10, 20 and 30 dB. Beyond, the 3 %
 * prevail.
 *
 * <p>Limits: displacements beyond a quarter of the wavelength, either way, cannot be told from
 * smaller ones; where the peak of the correlation's magnitude over depth contradicts the phase by
 * more than that, the place is left out, and that finds most such places, but not all: where next
 * to nothing matches, chance decides. Echoes whose centre frequency is another than assumed (by
 * attenuation or speckle) are off by as much in proportion. The displacement belongs to tissue half
 * the displacement further on than the row: with a strain of 1 % and 50 &micro;m a difference of a
 * quarter of a micrometre. Half a window at either end of the line stays unknown.
 */
public final class FixedAutocorrelationProvider
        implements DisplacementEstimatorProvider<AutocorrelationConfig> {

    /** Called by the service loader. */
    public FixedAutocorrelationProvider() {}

    @Override
    public String name() {
        return "autocorrelation-fixed";
    }

    @Override
    public String summary() {
        return "axial displacement up to a quarter wavelength from the phase of the lag-one"
                + " autocorrelation, centre frequency as given";
    }

    @Override
    public String source() {
        return "Kasai et al., IEEE Trans Sonics Ultrason 32(3):458-464, 1985";
    }

    @Override
    public AutocorrelationConfig defaults() {
        return AutocorrelationConfig.DEFAULTS;
    }

    @Override
    public DisplacementEstimator create(
            AutocorrelationConfig config, ScanGeometry geometry, Workers workers) {
        return new AutocorrelationEstimator(false, config, geometry, workers);
    }
}
