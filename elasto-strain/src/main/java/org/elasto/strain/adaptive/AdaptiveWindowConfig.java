package org.elasto.strain.adaptive;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link AdaptiveWindowProvider}. Immutable and thread-safe.
 *
 * @param leastDepth depth of the shortest window (m), 0.1 mm to 50 mm; rounded to a whole even
 *     number of row spacings, at least two
 * @param mostDepth depth of the longest window (m), 0.1 mm to 50 mm, not less than the shortest
 * @param precision deviation of strain that is to be met, 1e-6 to 0.1
 * @param typicalDeviation predicted deviation of displacement for which the layout states the
 *     resolution (m), 1 nm to 0.1 mm
 * @param usableShare smallest share of a window's rows whose displacement is known, 0.5 to 1; with
 *     fewer the strain is unknown. Rows beyond the field count as unknown.
 * @param minimumCorrelation smallest match correlation, of the place itself and of its window on
 *     average, at which strain is trusted, 0 to 1
 * @param deviationLimit largest predicted deviation of strain at which it is trusted, 0 to 1
 * @param lateralWindow width across the lines of the windows for lateral and shear strain (m), 0.1
 *     mm to 50 mm; rounded to a whole even number of line spacings, at least two
 */
public record AdaptiveWindowConfig(
        @Parameter(meaning = "depth of the shortest window", unit = "m", min = 1e-4, max = 5e-2)
                double leastDepth,
        @Parameter(meaning = "depth of the longest window", unit = "m", min = 1e-4, max = 5e-2)
                double mostDepth,
        @Parameter(meaning = "deviation of strain that is to be met", min = 1e-6, max = 0.1)
                double precision,
        @Parameter(
                        meaning = "deviation of displacement for which the resolution is stated",
                        unit = "m",
                        min = 1e-9,
                        max = 1e-4)
                double typicalDeviation,
        @Parameter(
                        meaning = "smallest share of a window's rows that must be known",
                        min = 0.5,
                        max = 1)
                double usableShare,
        @Parameter(
                        meaning = "smallest match correlation at which strain is trusted",
                        min = 0,
                        max = 1)
                double minimumCorrelation,
        @Parameter(
                        meaning = "largest predicted deviation at which strain is trusted",
                        min = 0,
                        max = 1)
                double deviationLimit,
        @Parameter(
                        meaning = "width of the windows for lateral and shear strain",
                        unit = "m",
                        min = 1e-4,
                        max = 5e-2)
                double lateralWindow) {

    /** Every parameter at its default. */
    public static final AdaptiveWindowConfig DEFAULTS =
            new AdaptiveWindowConfig(1.5e-3, 5e-3, 2.5e-4, 0.5e-6, 0.75, 0.6, 1e-3, 2.4e-3);

    public AdaptiveWindowConfig {
        ConfigSchema.check(
                AdaptiveWindowConfig.class,
                leastDepth,
                mostDepth,
                precision,
                typicalDeviation,
                usableShare,
                minimumCorrelation,
                deviationLimit,
                lateralWindow);
        if (leastDepth > mostDepth) {
            throw new IllegalArgumentException(
                    "least-depth is "
                            + leastDepth
                            + " m; it must not be more than most-depth, "
                            + mostDepth
                            + " m");
        }
    }
}
