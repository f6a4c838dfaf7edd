package org.elasto.conformance;

import org.elasto.api.Check;

/**
 * What the author of a strain estimator states about it, and is then held to. Immutable and
 * thread-safe.
 *
 * @param exactness largest error of strain where the displacement is exactly linear, 0 to 1e-3
 * @param margin depth at either end of the field in which strain may be unknown or less precise
 *     (m); NaN for twice the stated resolution
 * @param lateralMargin width at either side in which it may be (m), 0 to 0.1
 * @param coverage least share of the places within the margins whose strain is known where all
 *     displacement is, 0.1 to 1
 * @param leastDeviationRatio least ratio of the errors seen to the deviation predicted, 0.3 to 1
 * @param mostDeviationRatio greatest ratio of the errors seen to the deviation predicted, 1 to 3
 * @param resolutionTolerance how far, as a share, the measured resolution may exceed the stated
 *     one, 0 to 1; one row spacing comes on top
 * @param ownScale whether the method has a strain of its own to go by, such as a precision to meet
 *     or a process noise. Otherwise twice the displacement and its deviation must give twice the
 *     strain and its deviation; with one, twice the displacement alone must give twice the strain.
 */
public record StrainExpectations(
        double exactness,
        double margin,
        double lateralMargin,
        double coverage,
        double leastDeviationRatio,
        double mostDeviationRatio,
        double resolutionTolerance,
        boolean ownScale) {

    /** What holds for an estimator whose author states nothing. */
    public static final StrainExpectations DEFAULTS =
            new StrainExpectations(2e-6, Double.NaN, 2.5e-3, 0.95, 0.8, 1.25, 0.15, false);

    public StrainExpectations {
        Check.range("exactness", exactness, 0, 1e-3, "");
        if (!Double.isNaN(margin)) {
            Check.range("margin", margin, 0, 1, "m");
        }
        Check.range("lateral margin", lateralMargin, 0, 0.1, "m");
        Check.range("coverage", coverage, 0.1, 1, "");
        Check.range("least deviation ratio", leastDeviationRatio, 0.3, 1, "");
        Check.range("most deviation ratio", mostDeviationRatio, 1, 3, "");
        Check.range("resolution tolerance", resolutionTolerance, 0, 1, "");
    }

    /**
     * States another exactness.
     *
     * @param value the new value
     * @return what is stated now
     */
    public StrainExpectations withExactness(double value) {
        return with(0, value);
    }

    /**
     * States another margin.
     *
     * @param value the new value (m), or NaN
     * @return what is stated now
     */
    public StrainExpectations withMargin(double value) {
        return with(1, value);
    }

    /**
     * States another lateral margin.
     *
     * @param value the new value (m)
     * @return what is stated now
     */
    public StrainExpectations withLateralMargin(double value) {
        return with(2, value);
    }

    /**
     * States another coverage.
     *
     * @param value the new value
     * @return what is stated now
     */
    public StrainExpectations withCoverage(double value) {
        return with(3, value);
    }

    /**
     * States another least deviation ratio.
     *
     * @param value the new value
     * @return what is stated now
     */
    public StrainExpectations withLeastDeviationRatio(double value) {
        return with(4, value);
    }

    /**
     * States another most deviation ratio.
     *
     * @param value the new value
     * @return what is stated now
     */
    public StrainExpectations withMostDeviationRatio(double value) {
        return with(5, value);
    }

    /**
     * States another resolution tolerance.
     *
     * @param value the new value
     * @return what is stated now
     */
    public StrainExpectations withResolutionTolerance(double value) {
        return with(6, value);
    }

    /**
     * States that the method has a strain of its own to go by.
     *
     * @return what is stated now
     */
    public StrainExpectations withOwnScale() {
        return new StrainExpectations(
                exactness,
                margin,
                lateralMargin,
                coverage,
                leastDeviationRatio,
                mostDeviationRatio,
                resolutionTolerance,
                true);
    }

    private StrainExpectations with(int component, double value) {
        double[] v = {
            exactness,
            margin,
            lateralMargin,
            coverage,
            leastDeviationRatio,
            mostDeviationRatio,
            resolutionTolerance
        };
        v[component] = value;
        return new StrainExpectations(v[0], v[1], v[2], v[3], v[4], v[5], v[6], ownScale);
    }
}
