package org.elasto.phantoms;

import org.elasto.api.SampleType;
import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * What can be chosen about a ready scene. What is left open is as the scene has it.
 *
 * @param frames number of frames
 * @param strainPerFrame mean step of the press from frame to frame
 * @param snr echo over noise at the scene's reference depth (dB); NaN for the scene's own
 * @param seed chooses scatterers and noise
 * @param lines number of lines
 * @param samples samples a line
 * @param linePitch distance between lines (m), at the probe's face if that is convex
 * @param samplingFrequency sampling frequency (Hz)
 * @param centreFrequency centre frequency (Hz); NaN for the scene's own
 * @param frameRate frames a second (Hz)
 * @param replacedPerFrame share of the scatterers that are replaced from frame to frame, as if the
 *     probe slid across the image plane
 * @param driftPerFrame sideways drift from frame to frame (m)
 * @param sampleType how samples are stored
 */
public record PhantomConfig(
        @Parameter(meaning = "number of frames", min = 1, max = 100000) int frames,
        @Parameter(
                        meaning = "mean step of the pressing strain from frame to frame",
                        min = 0,
                        max = 0.02)
                double strainPerFrame,
        @Parameter(
                        meaning =
                                "echo over noise at the scene's reference depth, root mean squares",
                        unit = "dB",
                        min = -40,
                        max = 120,
                        optional = true)
                double snr,
        @Parameter(meaning = "chooses scatterers and noise") long seed,
        @Parameter(meaning = "number of lines", min = 1, max = 1024) int lines,
        @Parameter(meaning = "samples a line", min = 1, max = 65536) int samples,
        @Parameter(meaning = "distance between lines", unit = "m", min = 5e-5, max = 2e-3)
                double linePitch,
        @Parameter(meaning = "sampling frequency", unit = "Hz", min = 1e6, max = 5e8)
                double samplingFrequency,
        @Parameter(
                        meaning = "centre frequency of the pulse",
                        unit = "Hz",
                        min = 5e5,
                        max = 1e8,
                        optional = true)
                double centreFrequency,
        @Parameter(meaning = "frames a second", unit = "Hz", min = 0.1, max = 1e5) double frameRate,
        @Parameter(
                        meaning = "share of the scatterers replaced from frame to frame",
                        min = 0,
                        max = 1)
                double replacedPerFrame,
        @Parameter(
                        meaning = "sideways drift from frame to frame",
                        unit = "m",
                        min = -1e-3,
                        max = 1e-3)
                double driftPerFrame,
        @Parameter(meaning = "how samples are stored") SampleType sampleType) {

    /** Everything at its default. */
    public static final PhantomConfig DEFAULTS =
            new PhantomConfig(
                    8,
                    0.0035,
                    Double.NaN,
                    1,
                    128,
                    2337,
                    0.3e-3,
                    40e6,
                    Double.NaN,
                    50,
                    0,
                    0,
                    SampleType.INT16);

    public PhantomConfig {
        ConfigSchema.check(
                PhantomConfig.class,
                frames,
                strainPerFrame,
                snr,
                seed,
                lines,
                samples,
                linePitch,
                samplingFrequency,
                centreFrequency,
                frameRate,
                replacedPerFrame,
                driftPerFrame,
                sampleType);
    }
}
