package org.elasto.strain.leastsquares;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link LeastSquaresLineProvider}. Immutable and thread-safe.
 *
 * @param windowDepth depth from the first to the last row of a window (m), 0.1 mm to 50 mm; rounded
 *     to a whole even number of row spacings, at least two
 * @param usableShare smallest share of a window's rows whose displacement is known, 0.5 to 1; with
 *     fewer the strain is unknown. Rows beyond the field count as unknown.
 * @param minimumCorrelation smallest match correlation, of the place itself and of its window on
 *     average, at which strain is trusted, 0 to 1
 * @param deviationLimit largest predicted deviation of strain at which it is trusted, 0 to 1
 * @param lateralWindow width across the lines of the windows for lateral and shear strain (m), 0.1
 *     mm to 50 mm; rounded to a whole even number of line spacings, at least two
 * @param averagingWidth width across the lines over which trusted axial strain is averaged (m), 0
 *     to 20 mm; rounded to a whole even number of line spacings, 0 for none
 */
public record LeastSquaresLineConfig(
        @Parameter(
                        meaning = "depth from the first to the last row of a window",
                        unit = "m",
                        min = 1e-4,
                        max = 5e-2)
                double windowDepth,
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
                double lateralWindow,
        @Parameter(
                        meaning = "width over which trusted axial strain is averaged, 0 for none",
                        unit = "m",
                        min = 0,
                        max = 2e-2)
                double averagingWidth) {

    /** Every parameter at its default. */
    public static final LeastSquaresLineConfig DEFAULTS =
            new LeastSquaresLineConfig(2.4e-3, 0.75, 0.6, 1e-3, 2.4e-3, 0);

    public LeastSquaresLineConfig {
        ConfigSchema.check(
                LeastSquaresLineConfig.class,
                windowDepth,
                usableShare,
                minimumCorrelation,
                deviationLimit,
                lateralWindow,
                averagingWidth);
    }
}
