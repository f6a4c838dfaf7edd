package org.elasto.tracking.opticalflow;

import java.util.Arrays;
import org.elasto.tracking.shared.GaussianWindow;

/**
 * How far a regularised solution averages, and the weights of smoothness that make it average as
 * far as is wanted.
 *
 * <p>Where the echo is even, a solution of {@code G (d - u) = (p D4z + q D4x) u} is the data d,
 * filtered by {@code H = G / (G + p (2 - 2 cos kz)^2 + q (2 - 2 cos kx)^2)}, where G is the
 * response of the local windows, p and q are the weights of smoothness along and across, and kz, kx
 * angular frequencies a sample and a line. Its error from white disturbances has the spectrum
 * H&sup2;. The equivalent width is that of the profile across lines of data that do not change with
 * depth; the equivalent length times it is the number of samples of which a plain mean would err as
 * little: 1 over the mean of H&sup2; over all frequencies.
 */
final class SmoothingResponse {

    private static final int AXIAL_FREQUENCIES = 768;
    private static final int LATERAL_FREQUENCIES = 96;
    private static final int ITERATIONS = 30;

    /** Equivalent length of 1 / (1 + p w^4) is 8 sqrt(2) / 3 times the fourth root of p. */
    private static final double LENGTH_OF_ROOT = 8 * Math.sqrt(2) / 3;

    private final double[] localAlong;
    private final double[] localAcross;
    private final double[] stiffAlong;
    private final double[] stiffAcross;

    /** Spectrum of the error along depth, the mean over the frequencies across, and vice versa. */
    private final double[] spectrumAlong = new double[AXIAL_FREQUENCIES];

    private final double[] spectrumAcross = new double[LATERAL_FREQUENCIES];
    private double weightAlong;
    private double weightAcross;
    private double length;
    private double width;

    /**
     * Finds the weights for an equivalent length and width.
     *
     * @param wantedLength equivalent length in samples
     * @param wantedWidth equivalent width in lines; 1 or less for no smoothing across lines
     * @param along local window along the lines
     * @param across local window across the lines
     */
    SmoothingResponse(
            double wantedLength, double wantedWidth, GaussianWindow along, GaussianWindow across) {
        localAlong = response(along, AXIAL_FREQUENCIES);
        localAcross = response(across, LATERAL_FREQUENCIES);
        stiffAlong = stiffness(AXIAL_FREQUENCIES);
        stiffAcross = stiffness(LATERAL_FREQUENCIES);
        weightAlong = fourth(wantedLength / LENGTH_OF_ROOT);
        weightAcross = wantedWidth > 1 ? fourth(wantedWidth / LENGTH_OF_ROOT) : 0;
        for (int i = 0; i < ITERATIONS; i++) {
            measure();
            weightAlong *= Math.pow(wantedLength / length, 3);
            weightAcross *= Math.pow(wantedWidth / width, 3);
        }
        measure();
    }

    private static double fourth(double x) {
        return x * x * x * x;
    }

    private static double[] response(GaussianWindow window, int n) {
        double[] g = new double[n];
        for (int i = 0; i < n; i++) {
            double sum = window.tap(0);
            for (int j = 1; j <= window.halfWidth(); j++) {
                sum += 2 * window.tap(j) * Math.cos(j * frequency(i, n));
            }
            g[i] = Math.max(0, sum);
        }
        return g;
    }

    private static double[] stiffness(int n) {
        double[] d = new double[n];
        for (int i = 0; i < n; i++) {
            double s = 2 - 2 * Math.cos(frequency(i, n));
            d[i] = s * s;
        }
        return d;
    }

    private static double frequency(int i, int n) {
        return Math.PI * (i + 0.5) / n;
    }

    private void measure() {
        Arrays.fill(spectrumAlong, 0);
        Arrays.fill(spectrumAcross, 0);
        for (int z = 0; z < AXIAL_FREQUENCIES; z++) {
            for (int x = 0; x < LATERAL_FREQUENCIES; x++) {
                double g = localAlong[z] * localAcross[x];
                double stiff = weightAlong * stiffAlong[z] + weightAcross * stiffAcross[x];
                double h = g / (g + stiff + 1e-30);
                spectrumAlong[z] += h * h / LATERAL_FREQUENCIES;
                spectrumAcross[x] += h * h / AXIAL_FREQUENCIES;
            }
        }
        double even = 0;
        for (int x = 0; x < LATERAL_FREQUENCIES; x++) {
            double g = localAcross[x];
            double h = g / (g + weightAcross * stiffAcross[x]);
            even += h * h;
        }
        width = LATERAL_FREQUENCIES / even;
        length = AXIAL_FREQUENCIES / Arrays.stream(spectrumAlong).sum() / width;
    }

    /**
     * Weight of the squared second difference along the lines, against data of weight 1.
     *
     * @return the weight
     */
    double weightAlong() {
        return weightAlong;
    }

    /**
     * Weight of the squared second difference across the lines.
     *
     * @return the weight
     */
    double weightAcross() {
        return weightAcross;
    }

    /**
     * Equivalent length.
     *
     * @return samples
     */
    double length() {
        return length;
    }

    /**
     * Equivalent width.
     *
     * @return lines
     */
    double width() {
        return width;
    }

    /**
     * Correlation coefficient of the errors at two depths of a line.
     *
     * @param distance distance in samples
     * @return coefficient, 1 at 0
     */
    double errorCorrelation(double distance) {
        return correlation(spectrumAlong, distance);
    }

    /**
     * Correlation coefficient of the errors of two lines at one depth.
     *
     * @param distance distance in lines
     * @return coefficient, 1 at 0
     */
    double errorCorrelationAcross(double distance) {
        return correlation(spectrumAcross, distance);
    }

    private static double correlation(double[] spectrum, double distance) {
        double sum = 0;
        double all = 0;
        for (int i = 0; i < spectrum.length; i++) {
            all += spectrum[i];
            sum += spectrum[i] * Math.cos(distance * frequency(i, spectrum.length));
        }
        return sum / all;
    }

    /**
     * Length of the window whose {@link org.elasto.api.ErrorCorrelation} falls to one half where
     * that of the solution does. The solution's errors go together farther than those of a Gaussian
     * window that averages as much, by about an eighth.
     *
     * @return equivalent length of a Gaussian window in samples
     */
    double gaussianLength() {
        return gaussian(spectrumAlong, length);
    }

    /**
     * The same across the lines.
     *
     * @return equivalent width of a Gaussian window in lines; 0 if lines know nothing of each other
     */
    double gaussianWidth() {
        return weightAcross > 0 ? gaussian(spectrumAcross, width) : 0;
    }

    private static double gaussian(double[] spectrum, double about) {
        double near = 0;
        double far = 4 * about;
        while (far - near > 1e-6 * about) {
            double middle = 0.5 * (near + far);
            if (correlation(spectrum, middle) > 0.5) {
                near = middle;
            } else {
                far = middle;
            }
        }
        // The correlation is exp(-pi d^2 / length^2).
        return near * Math.sqrt(Math.PI / Math.log(2));
    }
}
