package org.elasto.strain.quality;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link ContactProvider}. Immutable and thread-safe.
 *
 * @param blindDepth depth up to which what the probe hears of itself is not told from tissue (m), 0
 *     to 50 mm
 * @param fullDepth depth down to which echoes are asked for (m), 1 mm to 0.5 m; not beyond the scan
 * @param blockLength depth over which echoes are judged together (m), 0.5 mm to 20 mm
 * @param lineDistance distance between the lines that are looked at (m), 0.1 mm to 20 mm; more than
 *     the beam is wide, so that tissue looks different from one to the next
 * @param leastEchoShare smallest share of echo in the power of a block of tissue, 0.05 to 0.95; 0.5
 *     for echoes as strong as the noise
 * @param largestLikeness largest correlation of the samples of neighbouring lines looked at, 0.1 to
 *     1; what is more alike is taken for the probe's own ringing
 * @param noiseLevel root mean square of the samples without any echo; left open, noise is told from
 *     echoes by its spectrum alone
 */
public record ContactConfig(
        @Parameter(
                        meaning = "depth up to which tissue is not told from the probe's ringing",
                        unit = "m",
                        min = 0,
                        max = 50e-3)
                double blindDepth,
        @Parameter(
                        meaning = "depth down to which echoes are asked for",
                        unit = "m",
                        min = 1e-3,
                        max = 0.5)
                double fullDepth,
        @Parameter(
                        meaning = "depth over which echoes are judged together",
                        unit = "m",
                        min = 0.5e-3,
                        max = 20e-3)
                double blockLength,
        @Parameter(
                        meaning = "distance between the lines that are looked at",
                        unit = "m",
                        min = 0.1e-3,
                        max = 20e-3)
                double lineDistance,
        @Parameter(
                        meaning = "smallest share of echo in the power of a block of tissue",
                        min = 0.05,
                        max = 0.95)
                double leastEchoShare,
        @Parameter(
                        meaning = "largest correlation of tissue echoes of neighbouring lines",
                        min = 0.1,
                        max = 1)
                double largestLikeness,
        @Parameter(
                        meaning = "root mean square of samples without echo, if it is known",
                        min = 0,
                        optional = true)
                double noiseLevel) {

    /** Every parameter at its default. */
    public static final ContactConfig DEFAULTS =
            new ContactConfig(4e-3, 20e-3, 2e-3, 1.5e-3, 0.5, 0.8, Double.NaN);

    public ContactConfig {
        ConfigSchema.check(
                ContactConfig.class,
                blindDepth,
                fullDepth,
                blockLength,
                lineDistance,
                leastEchoShare,
                largestLikeness,
                noiseLevel);
    }
}
