package org.elasto.strain.smoothing;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link SmoothingDerivativeProvider}. Immutable and thread-safe.
 *
 * @param windowDepth depth from the first to the last row of a window (m), 0.1 mm to 50 mm; rounded
 *     to a whole even number of row spacings, at least two
 * @param order order of the polynomial in depth, 1 to 6; 2 gives the slopes of 1 and 4 those of 3
 *     wherever the window is known as a whole
 * @param widthAcross width of the window across the lines in which displacement is smoothed (m), 0
 *     to 20 mm; rounded to a whole even number of line spacings, 0 for no smoothing
 * @param orderAcross order of the polynomial across the lines, 0 to 6
 * @param usableShare smallest share of a window's rows whose displacement is known, 0.5 to 1; with
 *     fewer the strain is unknown. Rows beyond the field count as unknown.
 * @param minimumCorrelation smallest match correlation, of the place itself and of its window on
 *     average, at which strain is trusted, 0 to 1
 * @param deviationLimit largest predicted deviation of strain at which it is trusted, 0 to 1
 * @param lateralWindow width across the lines of the windows for lateral and shear strain (m), 0.1
 *     mm to 50 mm; rounded to a whole even number of line spacings, at least two
 */
public record SmoothingDerivativeConfig(
        @Parameter(
                        meaning = "depth from the first to the last row of a window",
                        unit = "m",
                        min = 1e-4,
                        max = 5e-2)
                double windowDepth,
        @Parameter(meaning = "order of the polynomial in depth", min = 1, max = 6) int order,
        @Parameter(
                        meaning =
                                "width across the lines over which displacement is smoothed, 0 for"
                                        + " none",
                        unit = "m",
                        min = 0,
                        max = 2e-2)
                double widthAcross,
        @Parameter(meaning = "order of the polynomial across the lines", min = 0, max = 6)
                int orderAcross,
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
    public static final SmoothingDerivativeConfig DEFAULTS =
            new SmoothingDerivativeConfig(2.4e-3, 2, 1.5e-3, 2, 0.75, 0.6, 1e-3, 2.4e-3);

    public SmoothingDerivativeConfig {
        ConfigSchema.check(
                SmoothingDerivativeConfig.class,
                windowDepth,
                order,
                widthAcross,
                orderAcross,
                usableShare,
                minimumCorrelation,
                deviationLimit,
                lateralWindow);
    }
}
