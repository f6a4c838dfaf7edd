package org.elasto.phantoms;

import java.util.Arrays;
import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.transform.DftNormalization;
import org.apache.commons.math3.transform.FastFourierTransformer;
import org.apache.commons.math3.transform.TransformType;
import org.elasto.api.Check;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;

/**
 * Pairs of frames that the {@link CramerRaoBound} holds for: lines of flat-band Gaussian noise, the
 * second frame's shifted by exactly the same small distance everywhere. Lines are independent of
 * each other. The shift is a turn of phase in the frequency domain of a periodic line much longer
 * than the frame's. Immutable and thread-safe.
 */
public final class ShiftedNoise {

    private final ScanGeometry geometry;
    private final double snr;
    private final double correlation;
    private final int period;
    private final int firstBin;
    private final int lastBin;

    /**
     * Two frames.
     *
     * @param reference the first, 32-bit floats of deviation near 1000
     * @param moved the second: {@code moved(t) = reference(t - delay)} but for noise
     */
    public record Pair(RfFrame reference, RfFrame moved) {}

    /**
     * Makes a source of pairs.
     *
     * @param geometry geometry of the frames; the band lies around its centre frequency
     * @param fractionalBandwidth width of the band over its middle; the band must end below half
     *     the sampling frequency
     * @param snr signal over noise as amplitudes, noise having the same band; greater than 0, may
     *     be infinite
     * @param correlation correlation of the signals without noise, 0 to 1
     * @throws IllegalArgumentException if a value is out of its range
     */
    public ShiftedNoise(
            ScanGeometry geometry, double fractionalBandwidth, double snr, double correlation) {
        this.geometry = geometry;
        CramerRaoBound.checkBand(fractionalBandwidth);
        if (!(snr > 0)) {
            throw new IllegalArgumentException(
                    "signal-to-noise ratio is " + snr + "; it must be greater than 0");
        }
        this.snr = snr;
        this.correlation = Check.range("correlation", correlation, 0, 1, "");
        Check.range("samples per line", geometry.samples(), 1, 1 << 22);
        period = Integer.highestOneBit(2 * Math.max(512, geometry.samples())) * 2;
        double bin = geometry.samplingFrequency() / period;
        double f0 = geometry.centreFrequency();
        firstBin = Math.max(1, (int) Math.ceil(f0 * (1 - fractionalBandwidth / 2) / bin));
        lastBin = (int) Math.floor(f0 * (1 + fractionalBandwidth / 2) / bin);
        if (lastBin >= period / 2) {
            throw new IllegalArgumentException(
                    "a band of "
                            + fractionalBandwidth
                            + " of the centre frequency ends at "
                            + f0 * (1 + fractionalBandwidth / 2)
                            + " Hz; it must end below half the sampling frequency, "
                            + geometry.samplingFrequency() / 2
                            + " Hz");
        }
        Check.range("frequencies within the band", lastBin - firstBin + 1, 8, period);
    }

    /**
     * Makes a pair.
     *
     * @param axialDisplacement how far tissue moves away from the probe (m), at most 1 mm either
     *     way
     * @param seed chooses signal and noise
     * @return the pair
     * @throws IllegalArgumentException if the displacement is too large
     */
    public Pair make(double axialDisplacement, long seed) {
        Check.range("axial displacement", axialDisplacement, -1e-3, 1e-3, "m");
        double delay = 2 * axialDisplacement / geometry.soundSpeed();
        RfFrame reference = RfFrame.allocate(geometry, SampleType.FLOAT32);
        RfFrame moved = RfFrame.allocate(geometry, SampleType.FLOAT32);
        FastFourierTransformer fft = new FastFourierTransformer(DftNormalization.UNITARY);
        float[] samples = new float[geometry.samples()];
        for (int line = 0; line < geometry.lines(); line++) {
            RandomStream random = new RandomStream(RandomStream.key(seed, 0x60, line));
            Complex[] first = new Complex[period];
            Complex[] second = new Complex[period];
            Arrays.fill(first, Complex.ZERO);
            Arrays.fill(second, Complex.ZERO);
            fillSpectra(random, delay, first, second);
            writeLine(reference, line, fft.transform(first, TransformType.INVERSE), samples);
            writeLine(moved, line, fft.transform(second, TransformType.INVERSE), samples);
        }
        return new Pair(reference, moved.stamp(1, 0));
    }

    private void fillSpectra(RandomStream random, double delay, Complex[] first, Complex[] second) {
        double own = Math.sqrt(1 - correlation * correlation);
        double noise = 1 / snr;
        // The unitary transform leaves a real part of variance scale^2 (bins in the band) / period.
        double scale = 1000 * Math.sqrt(period / (double) (lastBin - firstBin + 1));
        for (int k = firstBin; k <= lastBin; k++) {
            Complex common = draw(random, scale);
            Complex other = draw(random, scale * own);
            double angle = -2 * Math.PI * k * geometry.samplingFrequency() / period * delay;
            Complex turn = new Complex(Math.cos(angle), Math.sin(angle));
            first[k] = common.add(draw(random, scale * noise));
            second[k] =
                    common.multiply(correlation)
                            .add(other)
                            .multiply(turn)
                            .add(draw(random, scale * noise));
        }
    }

    private static Complex draw(RandomStream random, double scale) {
        double re = random.gaussian();
        return new Complex(scale * re, scale * random.gaussian());
    }

    private static void writeLine(RfFrame frame, int line, Complex[] values, float[] samples) {
        for (int i = 0; i < samples.length; i++) {
            samples[i] = (float) values[i].getReal();
        }
        frame.writeLine(line, samples, 0);
    }
}
