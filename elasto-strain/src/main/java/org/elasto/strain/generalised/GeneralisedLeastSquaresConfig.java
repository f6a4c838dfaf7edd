package org.elasto.strain.generalised;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link GeneralisedLeastSquaresProvider}. Immutable and thread-safe.
 *
 * @param windowDepth depth from the first to the last row of a window (m), 0.1 mm to 50 mm; rounded
 *     to a whole even number of row spacings, at least two
 * @param independentShare share of the errors' variance that is taken as independent from row to
 *     row besides what the field states, 1e-4 to 1: how far the stated correlation is not believed.
 *     The smaller, the less noise where it is right, and the more where it is not.
 * @param usableShare smallest share of a window's rows whose displacement is known, 0.5 to 1; with
 *     fewer the strain is unknown. Rows beyond the field count as unknown.
 * @param minimumCorrelation smallest match correlation, of the place itself and of its window on
 *     average, at which strain is trusted, 0 to 1
 * @param deviationLimit largest predicted deviation of strain at which it is trusted, 0 to 1
 * @param lateralWindow width across the lines of the windows for lateral and shear strain (m), 0.1
 *     mm to 50 mm; rounded to a whole even number of line spacings, at least two
 */
public record GeneralisedLeastSquaresConfig(
        @Parameter(
                        meaning = "depth from the first to the last row of a window",
                        unit = "m",
                        min = 1e-4,
                        max = 5e-2)
                double windowDepth,
        @Parameter(
                        meaning = "share of variance taken as independent from row to row",
                        min = 1e-4,
                        max = 1)
                double independentShare,
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
    public static final GeneralisedLeastSquaresConfig DEFAULTS =
            new GeneralisedLeastSquaresConfig(2.4e-3, 0.01, 0.75, 0.6, 1e-3, 2.4e-3);

    public GeneralisedLeastSquaresConfig {
        ConfigSchema.check(
                GeneralisedLeastSquaresConfig.class,
                windowDepth,
                independentShare,
                usableShare,
                minimumCorrelation,
                deviationLimit,
                lateralWindow);
    }
}
