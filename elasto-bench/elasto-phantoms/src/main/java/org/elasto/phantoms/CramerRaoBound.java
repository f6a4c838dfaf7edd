package org.elasto.phantoms;

import java.util.function.DoubleUnaryOperator;
import org.apache.commons.math3.analysis.integration.IterativeLegendreGaussIntegrator;
import org.elasto.api.Check;

/**
 * The smallest standard deviation that any unbiased estimate of a time delay can have, from two
 * stretches of band-limited noise with partly common signal. Stateless and thread-safe.
 *
 * <p>A bound for small errors: where signal-to-noise is so poor that an estimate jumps to a
 * neighbouring cycle, the truth is worse.
 */
public final class CramerRaoBound {

    private CramerRaoBound() {}

    /**
     * For a flat band: {@code sqrt(3 / (2 f0^3 pi^2 T (B^3 + 12 B)) ((1 / rho^2) (1 + 1 / SNR^2)^2
     * - 1))}. Walker and Trahey, IEEE Trans UFFC 42(2):301-308, 1995.
     *
     * @param centreFrequency middle of the band (Hz)
     * @param fractionalBandwidth width of the band over its middle, greater than 0, at most 2
     * @param windowTime length of the window (s)
     * @param correlation correlation of the signals without noise, greater than 0, at most 1
     * @param snr signal over noise as amplitudes, noise within the band only; greater than 0, may
     *     be infinite
     * @return standard deviation of the delay (s)
     * @throws IllegalArgumentException if a value is out of its range
     */
    public static double delayFlatBand(
            double centreFrequency,
            double fractionalBandwidth,
            double windowTime,
            double correlation,
            double snr) {
        Check.positive("centre frequency", centreFrequency, "Hz");
        checkBand(fractionalBandwidth);
        Check.positive("window time", windowTime, "s");
        double loss = 1 / coherence(correlation, snr);
        double f = centreFrequency;
        double b = fractionalBandwidth;
        return Math.sqrt(
                3
                        / (2 * f * f * f * Math.PI * Math.PI * windowTime * (b * b * b + 12 * b))
                        * (loss * loss - 1));
    }

    /**
     * For any spectrum: {@code sqrt(1 / (8 pi^2 T integral of f^2 g^2 / (1 - g^2) df))} over
     * positive frequencies, with g the coherence of the two signals. Knapp and Carter, IEEE Trans
     * ASSP 24(4):320-327, 1976.
     *
     * @param coherence magnitude of the coherence at a frequency (Hz), 0 to below 1; smooth within
     *     the limits
     * @param lowestFrequency lower limit of the integral (Hz)
     * @param highestFrequency upper limit of the integral (Hz)
     * @param windowTime length of the window (s)
     * @return standard deviation of the delay (s)
     * @throws IllegalArgumentException if a value is out of its range
     */
    public static double delay(
            DoubleUnaryOperator coherence,
            double lowestFrequency,
            double highestFrequency,
            double windowTime) {
        Check.positive("window time", windowTime, "s");
        Check.positive("highest frequency", highestFrequency, "Hz");
        Check.range("lowest frequency", lowestFrequency, 0, Math.nextDown(highestFrequency), "Hz");
        // In units of the highest frequency, so that the integrator's limits fit.
        double unit = highestFrequency;
        double integral =
                new IterativeLegendreGaussIntegrator(16, 1e-10, 1e-14)
                        .integrate(
                                1_000_000,
                                v -> {
                                    double g = coherence.applyAsDouble(v * unit);
                                    if (!(g >= 0 && g < 1)) {
                                        throw new IllegalArgumentException(
                                                "coherence at "
                                                        + v * unit
                                                        + " Hz is "
                                                        + g
                                                        + "; it must be from 0 to below 1");
                                    }
                                    return v * v * g * g / (1 - g * g);
                                },
                                lowestFrequency / unit,
                                1);
        double squared = integral * unit * unit * unit;
        return Math.sqrt(1 / (8 * Math.PI * Math.PI * windowTime * squared));
    }

    /**
     * Coherence of two signals that share a part and have independent noise of equal strength:
     * {@code rho / (1 + 1 / SNR^2)}.
     *
     * @param correlation correlation of the signals without noise, greater than 0, at most 1
     * @param snr signal over noise as amplitudes, greater than 0, may be infinite
     * @return the coherence
     */
    public static double coherence(double correlation, double snr) {
        if (!(correlation > 0 && correlation <= 1)) {
            throw new IllegalArgumentException(
                    "correlation is " + correlation + "; it must be greater than 0 and at most 1");
        }
        if (!(snr > 0)) {
            throw new IllegalArgumentException(
                    "signal-to-noise ratio is " + snr + "; it must be greater than 0");
        }
        return correlation / (1 + 1 / (snr * snr));
    }

    /**
     * Axial displacement that goes with a delay: the echo goes there and back.
     *
     * @param delay delay, or its deviation (s)
     * @param soundSpeed speed of sound (m/s)
     * @return displacement, or its deviation (m): half the speed times the delay
     */
    public static double axialDisplacement(double delay, double soundSpeed) {
        return Check.positive("speed of sound", soundSpeed, "m/s") / 2 * delay;
    }

    static void checkBand(double fractionalBandwidth) {
        if (!(fractionalBandwidth > 0 && fractionalBandwidth <= 2)) {
            throw new IllegalArgumentException(
                    "fractional bandwidth is "
                            + fractionalBandwidth
                            + "; it must be greater than 0 and at most 2");
        }
    }
}
