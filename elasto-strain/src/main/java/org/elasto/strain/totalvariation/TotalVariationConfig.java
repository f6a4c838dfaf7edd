package org.elasto.strain.totalvariation;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link TotalVariationProvider}. Immutable and thread-safe.
 *
 * @param smoothingLength length l (m) of the smoothness in depth, 0.01 mm to 50 mm: a change of
 *     strain by e costs {@code l e / s} where displacement has the deviation s
 * @param smoothingAcross the same for changes from line to line (m), 0 to 50 mm; 0 for lines on
 *     their own
 * @param steps iterations, 5 to 2000
 * @param trustDepth depth of the stretch around a row (m) of which enough must be known, and whose
 *     match counts, 0.1 mm to 50 mm
 * @param usableShare smallest share of a window's rows whose displacement is known, 0.5 to 1; with
 *     fewer the strain is unknown. Rows beyond the field count as unknown.
 * @param minimumCorrelation smallest match correlation, of the place itself and of its window on
 *     average, at which strain is trusted, 0 to 1
 * @param deviationLimit largest predicted deviation of strain at which it is trusted, 0 to 1
 * @param lateralWindow width across the lines of the windows for lateral and shear strain (m), 0.1
 *     mm to 50 mm; rounded to a whole even number of line spacings, at least two
 */
public record TotalVariationConfig(
        @Parameter(meaning = "smoothness of strain in depth", unit = "m", min = 1e-5, max = 5e-2)
                double smoothingLength,
        @Parameter(
                        meaning = "smoothness of strain across the lines",
                        unit = "m",
                        min = 0,
                        max = 5e-2)
                double smoothingAcross,
        @Parameter(meaning = "iterations", min = 5, max = 2000) int steps,
        @Parameter(
                        meaning = "depth around a row of which enough must be known",
                        unit = "m",
                        min = 1e-4,
                        max = 5e-2)
                double trustDepth,
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
    public static final TotalVariationConfig DEFAULTS =
            new TotalVariationConfig(1e-3, 1e-3, 30, 2.4e-3, 0.75, 0.6, 1e-3, 2.4e-3);

    public TotalVariationConfig {
        ConfigSchema.check(
                TotalVariationConfig.class,
                smoothingLength,
                smoothingAcross,
                steps,
                trustDepth,
                usableShare,
                minimumCorrelation,
                deviationLimit,
                lateralWindow);
    }
}
