package org.elasto.tracking.lattice;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of the lattice-phase estimators. Window sizes are equivalent lengths: those of a
 * rectangular window that averages as much.
 *
 * @param windowLength equivalent depth of the window (m)
 * @param windowWidth equivalent width of the window across the lines (m)
 * @param rowSpacing depth between rows of the field (m), rounded to whole baseband samples; samples
 *     are summed over that depth before anything else
 * @param searchRange greatest axial displacement, either way, that is looked for (m)
 * @param lateralSearchRange greatest lateral displacement, either way, that is looked for (m); 0
 *     for none, and then the field has no lateral displacement
 * @param bandwidth band of the echo that is used, as a share of the centre frequency
 * @param steps how often the second frame is read, each time but the last for the lateral
 *     displacement alone
 * @param lineStep lines from one that is converted and tracked to the next; what lies between is
 *     interpolated where both beside are known; 1 if lateral displacement is looked for
 * @param minimumCorrelation correlation below which nothing is claimed to be known
 */
public record LatticePhaseConfig(
        @Parameter(meaning = "equivalent depth of the window", unit = "m", min = 2e-4, max = 2e-2)
                double windowLength,
        @Parameter(
                        meaning = "equivalent width of the window across the lines",
                        unit = "m",
                        min = 0,
                        max = 2e-2)
                double windowWidth,
        @Parameter(meaning = "depth between rows of the field", unit = "m", min = 5e-5, max = 1e-3)
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
                double lateralSearchRange,
        @Parameter(
                        meaning =
                                "band of the echo that is used, as a share of the centre frequency",
                        min = 0.1,
                        max = 1.6)
                double bandwidth,
        @Parameter(
                        meaning =
                                "how often the second frame is read where tissue was found, each"
                                        + " time but the last for the lateral displacement alone",
                        min = 1,
                        max = 10)
                int steps,
        @Parameter(
                        meaning =
                                "lines from one that is tracked to the next; those between are"
                                        + " interpolated; 1 if lateral displacement is looked for",
                        min = 1,
                        max = 4)
                int lineStep,
        @Parameter(
                        meaning = "correlation below which nothing is claimed to be known",
                        min = 0.05,
                        max = 0.99)
                double minimumCorrelation) {

    /** The defaults. */
    public static final LatticePhaseConfig DEFAULTS =
            new LatticePhaseConfig(2.1e-3, 1.0e-3, 3.1e-4, 1.5e-3, 0.9e-3, 0.8, 2, 1, 0.72);

    /** The defaults of the fastest: axial displacement alone. */
    public static final LatticePhaseConfig FASTEST =
            new LatticePhaseConfig(2.1e-3, 1.0e-3, 3.1e-4, 1.5e-3, 0, 0.8, 1, 1, 0.72);

    public LatticePhaseConfig {
        ConfigSchema.check(
                LatticePhaseConfig.class,
                windowLength,
                windowWidth,
                rowSpacing,
                searchRange,
                lateralSearchRange,
                bandwidth,
                steps,
                lineStep,
                minimumCorrelation);
        if (lineStep > 1 && lateralSearchRange > 0) {
            throw new IllegalArgumentException(
                    "'line-step' is "
                            + lineStep
                            + " while 'lateral-search-range' is "
                            + lateralSearchRange
                            + " m; lateral displacement needs every line: either 'line-step' must"
                            + " be 1 or 'lateral-search-range' 0");
        }
    }
}
