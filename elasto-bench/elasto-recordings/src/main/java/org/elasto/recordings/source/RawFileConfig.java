package org.elasto.recordings.source;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;
import org.elasto.recordings.array.ElementType;

/**
 * How to read a file of raw samples. Immutable and thread-safe.
 *
 * @param sampleType type of the samples
 * @param byteOrder their byte order
 * @param headerBytes bytes to skip at the start of the file
 * @param axisOrder order of the axes from the slowest to the fastest varying
 * @param lines lines a frame; 0 is not allowed when the file is opened
 * @param samples samples a line; 0 is not allowed when the file is opened
 * @param frames number of frames; 0 for as many as the file holds
 * @param samplingFrequency sampling frequency (Hz), or NaN
 * @param centreFrequency nominal centre frequency of the pulse (Hz), or NaN
 * @param soundSpeed speed of sound (m/s), or NaN
 * @param firstDepth depth of the first sample (m), or NaN
 * @param linePitch distance between the lines of a linear array (m), or NaN
 * @param probeRadius radius of a convex array (m), or NaN
 * @param angularPitch angle between the lines of a convex array (rad), or NaN
 * @param frameRate frames a second (Hz), or NaN
 */
public record RawFileConfig(
        @Parameter(meaning = "type of the samples") ElementType sampleType,
        @Parameter(meaning = "byte order of the samples") RawByteOrder byteOrder,
        @Parameter(meaning = "bytes to skip at the start of the file", min = 0) long headerBytes,
        @Parameter(meaning = "order of the axes, slowest varying first") AxisOrder axisOrder,
        @Parameter(meaning = "lines a frame; must be given", min = 0, max = 1048576) int lines,
        @Parameter(meaning = "samples a line; must be given", min = 0, max = 67108864) int samples,
        @Parameter(meaning = "number of frames; 0 for as many as the file holds", min = 0)
                int frames,
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

    public RawFileConfig {
        ConfigSchema.check(
                RawFileConfig.class,
                sampleType,
                byteOrder,
                headerBytes,
                axisOrder,
                lines,
                samples,
                frames,
                samplingFrequency,
                centreFrequency,
                soundSpeed,
                firstDepth,
                linePitch,
                probeRadius,
                angularPitch,
                frameRate);
    }
}
