package org.elasto.tracking.correlation;

import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;

/**
 * Axial displacement from the peak of windowed normalised cross-correlations along the line.
 *
 * <p>The RF signal is limited to its band. A coarse search over blocks tells where to look; there a
 * rectangular window of the first frame is correlated with the second at whole samples, each window
 * by its own energy, and the peak is found between samples by a parabola, a cosine
 * (C&eacute;spedes, Huang, Ophir and Spratt, Ultrasonic Imaging 17:142-171, 1995) or a quintic
 * spline. The predicted deviation follows Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995.
 *
 * <p>Strain within a window spoils the match, and moves the estimate from the window's middle to
 * where the echo happens to be strong. Therefore the second line is stretched by the motion found
 * so far, run smooth over two windows, and correlated anew; stretching the second signal before the
 * correlation is common in the literature since the 1990s.
 *
 * <p>Limits: axial displacement only, one line at a time. The parabola is biased by up to some
 * hundredths of a sample. Half a window at either end of the line stays unknown. Without stretching
 * the predicted deviation is that of noise alone, and too small under strain.
 */
public final class CrossCorrelationProvider
        implements DisplacementEstimatorProvider<CrossCorrelationConfig> {

    /** Called by the service loader. */
    public CrossCorrelationProvider() {}

    @Override
    public String name() {
        return "cross-correlation";
    }

    @Override
    public String summary() {
        return "axial displacement from the peak of windowed normalised cross-correlations along"
                + " the line";
    }

    @Override
    public String source() {
        return "peak between samples: Cespedes et al., Ultrasonic Imaging 17:142-171, 1995;"
                + " deviation: Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995";
    }

    @Override
    public CrossCorrelationConfig defaults() {
        return CrossCorrelationConfig.DEFAULTS;
    }

    @Override
    public DisplacementEstimator create(
            CrossCorrelationConfig config, ScanGeometry geometry, Workers workers) {
        return new CrossCorrelationEstimator(config, geometry, workers);
    }
}
