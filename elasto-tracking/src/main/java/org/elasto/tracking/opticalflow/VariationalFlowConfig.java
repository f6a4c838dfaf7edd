package org.elasto.tracking.opticalflow;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of the variational flow. The weights of smoothness are derived from the equivalent
 * length and width over which the solution averages: those of a rectangular window that averages as
 * much.
 *
 * @param smoothingLength equivalent depth over which the solution averages (m)
 * @param smoothingWidth equivalent width over which it averages across the lines (m)
 * @param jump how much a displacement may bend from one baseband sample, or line, to the next
 *     before smoothness gives way (m)
 * @param rowSpacing depth between rows of the field (m), rounded to whole baseband samples
 * @param searchRange greatest axial displacement, either way, that is looked for (m)
 * @param lateralRange greatest lateral displacement, either way, that is looked for (m), rounded up
 *     to whole lines
 * @param bandwidth band of the echo that is used, as a share of the centre frequency
 * @param steps times the second frame is warped
 * @param minimumCorrelation correlation below which nothing is claimed to be known
 */
public record VariationalFlowConfig(
        @Parameter(
                        meaning = "equivalent depth over which the solution averages",
                        unit = "m",
                        min = 2e-4,
                        max = 2e-2)
                double smoothingLength,
        @Parameter(
                        meaning = "equivalent width over which the solution averages",
                        unit = "m",
                        min = 0,
                        max = 1e-2)
                double smoothingWidth,
        @Parameter(
                        meaning =
                                "bend of the displacement from sample to sample, or line to line,"
                                        + " at which smoothness gives way",
                        unit = "m",
                        min = 1e-7,
                        max = 1)
                double jump,
        @Parameter(meaning = "depth between rows of the field", unit = "m", min = 1e-5, max = 5e-3)
                double rowSpacing,
        @Parameter(
                        meaning = "greatest axial displacement, either way, that is looked for",
                        unit = "m",
                        min = 1e-5,
                        max = 1e-2)
                double searchRange,
        @Parameter(
                        meaning = "greatest lateral displacement, either way, that is looked for",
                        unit = "m",
                        min = 0,
                        max = 1e-2)
                double lateralRange,
        @Parameter(
                        meaning =
                                "band of the echo that is used, as a share of the centre frequency",
                        min = 0.1,
                        max = 1.6)
                double bandwidth,
        @Parameter(meaning = "times the second frame is warped", min = 1, max = 20) int steps,
        @Parameter(
                        meaning = "correlation below which nothing is claimed to be known",
                        min = 0.05,
                        max = 0.99)
                double minimumCorrelation) {

    /** The defaults. */
    public static final VariationalFlowConfig DEFAULTS =
            new VariationalFlowConfig(2.4e-3, 1.5e-3, 1e-6, 1.5e-4, 1.5e-3, 9e-4, 0.8, 4, 0.5);

    public VariationalFlowConfig {
        ConfigSchema.check(
                VariationalFlowConfig.class,
                smoothingLength,
                smoothingWidth,
                jump,
                rowSpacing,
                searchRange,
                lateralRange,
                bandwidth,
                steps,
                minimumCorrelation);
    }
}
