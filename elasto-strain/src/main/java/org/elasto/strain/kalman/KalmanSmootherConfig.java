package org.elasto.strain.kalman;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link KalmanSmootherProvider}. Immutable and thread-safe.
 *
 * @param strainChange process noise: standard deviation of the change of strain over 1 mm of depth,
 *     1e-6 to 1; it grows with the square root of depth
 * @param typicalDeviation predicted deviation of displacement for which the layout states the
 *     resolution (m), 1 nm to 0.1 mm
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
public record KalmanSmootherConfig(
        @Parameter(
                        meaning = "standard deviation of the change of strain over 1 mm of depth",
                        min = 1e-6,
                        max = 1)
                double strainChange,
        @Parameter(
                        meaning = "deviation of displacement for which the resolution is stated",
                        unit = "m",
                        min = 1e-9,
                        max = 1e-4)
                double typicalDeviation,
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
    public static final KalmanSmootherConfig DEFAULTS =
            new KalmanSmootherConfig(1e-3, 0.5e-6, 2.4e-3, 0.75, 0.6, 1e-3, 2.4e-3);

    public KalmanSmootherConfig {
        ConfigSchema.check(
                KalmanSmootherConfig.class,
                strainChange,
                typicalDeviation,
                trustDepth,
                usableShare,
                minimumCorrelation,
                deviationLimit,
                lateralWindow);
    }
}
