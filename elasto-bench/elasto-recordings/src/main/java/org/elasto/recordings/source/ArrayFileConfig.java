package org.elasto.recordings.source;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * How to read a file that holds one array: NumPy's {@code .npy}, MetaImage. Immutable and
 * thread-safe.
 *
 * @param axisOrder order of the axes as the file writes its shape, see {@link AxisOrder}
 * @param samplingFrequency sampling frequency (Hz), or NaN
 * @param centreFrequency nominal centre frequency of the pulse (Hz), or NaN
 * @param soundSpeed speed of sound (m/s), or NaN
 * @param firstDepth depth of the first sample (m), or NaN
 * @param linePitch distance between the lines of a linear array (m), or NaN
 * @param probeRadius radius of a convex array (m), or NaN
 * @param angularPitch angle between the lines of a convex array (rad), or NaN
 * @param frameRate frames a second (Hz), or NaN
 */
public record ArrayFileConfig(
        @Parameter(meaning = "order of the axes as the file writes its shape") AxisOrder axisOrder,
        @Parameter(
                        meaning = "sampling frequency; open: as in the file",
                        unit = "Hz",
                        min = 1,
                        optional = true)
                double samplingFrequency,
        @Parameter(
                        meaning = "centre frequency of the pulse; open: as in the file",
                        unit = "Hz",
                        min = 1,
                        optional = true)
                double centreFrequency,
        @Parameter(
                        meaning = "speed of sound; open: as in the file, or 1540 m/s",
                        unit = "m/s",
                        min = 100,
                        max = 10000,
                        optional = true)
                double soundSpeed,
        @Parameter(
                        meaning = "depth of the first sample; open: as in the file",
                        unit = "m",
                        min = 0,
                        max = 1,
                        optional = true)
                double firstDepth,
        @Parameter(
                        meaning = "distance between lines of a linear array; open: as in the file",
                        unit = "m",
                        min = 1e-6,
                        max = 0.1,
                        optional = true)
                double linePitch,
        @Parameter(
                        meaning = "radius of a convex array; open: as in the file",
                        unit = "m",
                        min = 1e-3,
                        max = 10,
                        optional = true)
                double probeRadius,
        @Parameter(
                        meaning = "angle between lines of a convex array; open: as in the file",
                        unit = "rad",
                        min = 1e-6,
                        max = 1,
                        optional = true)
                double angularPitch,
        @Parameter(
                        meaning = "frames a second; open: as in the file, or unknown",
                        unit = "Hz",
                        min = 1e-6,
                        optional = true)
                double frameRate)
        implements ScanOptions {

    public ArrayFileConfig {
        ConfigSchema.check(
                ArrayFileConfig.class,
                axisOrder,
                samplingFrequency,
                centreFrequency,
                soundSpeed,
                firstDepth,
                linePitch,
                probeRadius,
                angularPitch,
                frameRate);
    }

    /** Everything but the order of the axes as in the file. */
    static ArrayFileConfig open(AxisOrder axisOrder) {
        double open = Double.NaN;
        return new ArrayFileConfig(axisOrder, open, open, open, open, open, open, open, open);
    }
}
