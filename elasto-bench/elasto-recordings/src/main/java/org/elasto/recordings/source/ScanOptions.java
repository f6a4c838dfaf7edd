package org.elasto.recordings.source;

/**
 * The scan parameters that every config of a file source has. NaN stands for "take it from the
 * file".
 */
public sealed interface ScanOptions
        permits MatFileConfig, Hdf5FileConfig, RawFileConfig, ArrayFileConfig {

    /**
     * Sampling frequency.
     *
     * @return frequency (Hz), or NaN
     */
    double samplingFrequency();

    /**
     * Nominal centre frequency of the pulse.
     *
     * @return frequency (Hz), or NaN
     */
    double centreFrequency();

    /**
     * Speed of sound.
     *
     * @return speed (m/s), or NaN; 1540 m/s if the file has none either
     */
    double soundSpeed();

    /**
     * Depth of the first sample.
     *
     * @return depth (m), or NaN
     */
    double firstDepth();

    /**
     * Distance between the lines of a linear array.
     *
     * @return distance (m), or NaN
     */
    double linePitch();

    /**
     * Radius of a convex array.
     *
     * @return radius (m), or NaN
     */
    double probeRadius();

    /**
     * Angle between the lines of a convex array.
     *
     * @return angle (rad), or NaN
     */
    double angularPitch();

    /**
     * Frames a second.
     *
     * @return rate (Hz), or NaN; unknown if the file has none either
     */
    double frameRate();
}
