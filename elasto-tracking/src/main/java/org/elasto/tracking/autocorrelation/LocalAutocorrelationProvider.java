package org.elasto.tracking.autocorrelation;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/**
 * Axial displacement from the phase of the lag-one autocorrelation, turned into metres by the
 * centre frequency that the same window shows.
 *
 * <p>As {@link FixedAutocorrelationProvider}, but the wavelength is that of the echo in the window:
 * the phase of the autocorrelation from one sample to the next in depth, summed over both frames
 * and the same window, is what the centre frequency lies off the assumed one. This is the
 * two-dimensional autocorrelator of Loupas, Powers and Gill, IEEE Trans UFFC 42(4):672-688, 1995,
 * for an ensemble of two frames. Changed from it: the neighbours in depth are taken on either side
 * of each sample, so that both sums have the same middle.
 *
 * <p>Limits: as there, but for the centre frequency; a quarter wavelength is that of the local
 * centre frequency. The predicted deviation counts random noise and strain; there remains an error
 * because the frequency within a window is not one but a band, about 0.02 &micro;m for a shift of
 * 15 to 40 &micro;m at 7.5 MHz, which is seen only where the noise is 40 dB below the echo or less.
 */
public final class LocalAutocorrelationProvider
        implements DisplacementEstimatorProvider<AutocorrelationConfig> {

    /** Called by the service loader. */
    public LocalAutocorrelationProvider() {}

    @Override
    public String name() {
        return "autocorrelation-local";
    }

    @Override
    public String summary() {
        return "axial displacement up to a quarter wavelength from the phase of the lag-one"
                + " autocorrelation, centre frequency as measured on the spot";
    }

    @Override
    public String source() {
        return "Loupas, Powers and Gill, IEEE Trans UFFC 42(4):672-688, 1995";
    }

    @Override
    public AutocorrelationConfig defaults() {
        return AutocorrelationConfig.DEFAULTS;
    }

    @Override
    public DisplacementEstimator create(
            AutocorrelationConfig config, ScanGeometry geometry, Workers workers) {
        return new AutocorrelationEstimator(true, config, geometry, workers);
    }
}
