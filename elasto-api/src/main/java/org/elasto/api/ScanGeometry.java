package org.elasto.api;

import java.util.Objects;

/**
 * Where the samples of a frame lie. This type alone turns samples into metres. Immutable and
 * thread-safe.
 *
 * <p>The probe's face is at depth 0; x is 0 in the middle of the array and grows with the line
 * number. For a convex probe, depth runs along each line from the probe's face, and z is measured
 * from the foremost point of the face.
 *
 * @param lines number of lines, at least 1
 * @param samples samples a line, at least 1
 * @param samplingFrequency sampling frequency of the RF signal (Hz), greater than 0
 * @param centreFrequency nominal centre frequency of the pulse (Hz), greater than 0 and below half
 *     the sampling frequency
 * @param soundSpeed speed of sound (m/s), greater than 0; 1540 m/s in soft tissue is common
 *     practice
 * @param firstDepth depth of the first sample (m), zero or more
 * @param layout how the lines lie; a fan covers less than a full turn
 * @param frameRate frames a second (Hz), greater than 0, or NaN where it is not known
 */
public record ScanGeometry(
        int lines,
        int samples,
        double samplingFrequency,
        double centreFrequency,
        double soundSpeed,
        double firstDepth,
        LineLayout layout,
        double frameRate) {

    public ScanGeometry {
        Check.range("number of lines", lines, 1, 1 << 20);
        Check.range("samples per line", samples, 1, 1 << 26);
        if ((long) lines * samples > Integer.MAX_VALUE - 8) {
            throw new IllegalArgumentException(
                    "frame of "
                            + lines
                            + " lines x "
                            + samples
                            + " samples is too large; at most 2147483639 samples in all");
        }
        Check.positive("sampling frequency", samplingFrequency, "Hz");
        Check.positive("centre frequency", centreFrequency, "Hz");
        if (centreFrequency >= samplingFrequency / 2) {
            throw new IllegalArgumentException(
                    "centre frequency is "
                            + centreFrequency
                            + " Hz; it must be below half the sampling frequency of "
                            + samplingFrequency
                            + " Hz");
        }
        Check.positive("speed of sound", soundSpeed, "m/s");
        if (!(firstDepth >= 0) || Double.isInfinite(firstDepth)) {
            throw new IllegalArgumentException(
                    "depth of the first sample is "
                            + firstDepth
                            + " m; it must be finite and not negative");
        }
        Objects.requireNonNull(layout, "line layout is missing");
        if (layout instanceof LineLayout.Convex convex) {
            checkFan(lines, convex.angularPitch());
        }
        if (!Double.isNaN(frameRate)) {
            Check.positive("frame rate", frameRate, "Hz");
        }
    }

    private static void checkFan(int lines, double angularPitch) {
        double fan = (lines - 1) * angularPitch;
        if (!(fan < 2 * Math.PI)) {
            throw new IllegalArgumentException(
                    "angular pitch is "
                            + angularPitch
                            + " rad; "
                            + lines
                            + " lines would fan out over "
                            + fan
                            + " rad, and it must be less than a full turn of 2 pi rad");
        }
    }

    /**
     * Geometry of a linear array.
     *
     * @param lines number of lines
     * @param samples samples a line
     * @param samplingFrequency sampling frequency (Hz)
     * @param centreFrequency centre frequency (Hz)
     * @param soundSpeed speed of sound (m/s)
     * @param firstDepth depth of the first sample (m)
     * @param linePitch distance between lines (m)
     * @param frameRate frames a second (Hz), or NaN
     * @return the geometry
     * @throws IllegalArgumentException as the constructor
     */
    public static ScanGeometry linear(
            int lines,
            int samples,
            double samplingFrequency,
            double centreFrequency,
            double soundSpeed,
            double firstDepth,
            double linePitch,
            double frameRate) {
        return new ScanGeometry(
                lines,
                samples,
                samplingFrequency,
                centreFrequency,
                soundSpeed,
                firstDepth,
                new LineLayout.Linear(linePitch),
                frameRate);
    }

    /**
     * Geometry of a convex array.
     *
     * @param lines number of lines
     * @param samples samples a line
     * @param samplingFrequency sampling frequency (Hz)
     * @param centreFrequency centre frequency (Hz)
     * @param soundSpeed speed of sound (m/s)
     * @param firstDepth depth of the first sample along the line (m)
     * @param radius radius of the probe's face (m)
     * @param angularPitch angle between lines (rad)
     * @param frameRate frames a second (Hz), or NaN
     * @return the geometry
     * @throws IllegalArgumentException as the constructor
     */
    public static ScanGeometry convex(
            int lines,
            int samples,
            double samplingFrequency,
            double centreFrequency,
            double soundSpeed,
            double firstDepth,
            double radius,
            double angularPitch,
            double frameRate) {
        return new ScanGeometry(
                lines,
                samples,
                samplingFrequency,
                centreFrequency,
                soundSpeed,
                firstDepth,
                new LineLayout.Convex(radius, angularPitch),
                frameRate);
    }

    /**
     * Depth that passes from one sample to the next.
     *
     * @return the spacing (m): speed of sound over twice the sampling frequency
     */
    public double sampleSpacing() {
        return soundSpeed / (2 * samplingFrequency);
    }

    /**
     * Depth of a sample along its line.
     *
     * @param sample sample number, fractions allowed
     * @return depth (m)
     */
    public double depthOfSample(double sample) {
        return firstDepth + sample * sampleSpacing();
    }

    /**
     * The sample at a depth; inverse of {@link #depthOfSample}.
     *
     * @param depth depth along the line (m)
     * @return sample number, with its fraction, possibly outside the frame
     */
    public double sampleAtDepth(double depth) {
        return (depth - firstDepth) / sampleSpacing();
    }

    /**
     * Depth of the last sample.
     *
     * @return depth (m)
     */
    public double lastDepth() {
        return depthOfSample(samples - 1);
    }

    /**
     * Wavelength at the centre frequency.
     *
     * @return wavelength (m)
     */
    public double wavelength() {
        return soundSpeed / centreFrequency;
    }

    /**
     * Distance between neighbouring lines, measured across them.
     *
     * @param depth depth along the lines (m); it matters for a convex probe only
     * @return distance (m), along the arc for a convex probe
     */
    public double lineSpacing(double depth) {
        if (layout instanceof LineLayout.Convex convex) {
            return (convex.radius() + depth) * convex.angularPitch();
        }
        return ((LineLayout.Linear) layout).pitch();
    }

    /**
     * Angle of a line against the middle axis of the probe.
     *
     * @param line line number, fractions allowed
     * @return angle (rad), positive towards higher line numbers; 0 for a linear array
     */
    public double angleOfLine(double line) {
        return layout instanceof LineLayout.Convex convex
                ? (line - (lines - 1) / 2.0) * convex.angularPitch()
                : 0;
    }

    /**
     * Lateral position of a point.
     *
     * @param line line number, fractions allowed
     * @param depth depth along the line (m)
     * @return x (m), 0 in the middle of the probe
     */
    public double x(double line, double depth) {
        if (layout instanceof LineLayout.Convex convex) {
            return (convex.radius() + depth) * Math.sin(angleOfLine(line));
        }
        return (line - (lines - 1) / 2.0) * ((LineLayout.Linear) layout).pitch();
    }

    /**
     * Distance of a point from the plane that touches the foremost point of the probe's face.
     *
     * @param line line number, fractions allowed
     * @param depth depth along the line (m)
     * @return z (m); equal to the depth for a linear array
     */
    public double z(double line, double depth) {
        if (layout instanceof LineLayout.Convex convex) {
            return (convex.radius() + depth) * Math.cos(angleOfLine(line)) - convex.radius();
        }
        return depth;
    }

    /**
     * The line through a point; inverse of {@link #x} and {@link #z}.
     *
     * @param x lateral position (m)
     * @param z distance from the probe (m)
     * @return line number, with its fraction, possibly outside the frame
     */
    public double lineAt(double x, double z) {
        if (layout instanceof LineLayout.Convex convex) {
            return (lines - 1) / 2.0 + Math.atan2(x, z + convex.radius()) / convex.angularPitch();
        }
        return (lines - 1) / 2.0 + x / ((LineLayout.Linear) layout).pitch();
    }

    /**
     * Depth of a point along the line through it.
     *
     * @param x lateral position (m)
     * @param z distance from the probe (m)
     * @return depth along the line (m)
     */
    public double depthAt(double x, double z) {
        if (layout instanceof LineLayout.Convex convex) {
            return Math.hypot(x, z + convex.radius()) - convex.radius();
        }
        return z;
    }
}
