package org.elasto.conformance;

import org.elasto.api.Check;

/**
 * What the author of a displacement estimator states about it, and is then held to. Defaults suit a
 * windowed estimator of good workmanship; who can promise more, should. Immutable and thread-safe.
 *
 * @param windowLength equivalent depth of the window, that of a rectangular window that averages as
 *     much; NaN for the length that the field's layout states (m)
 * @param windowWidth equivalent width of the window across the lines; 0 for a single line (m), 0 to
 *     1
 * @param boundMultiple how many times the Cramér-Rao bound the error may be, 1 to 10
 * @param systematicError error that even perfect echoes leave, as a share of the wavelength; added
 *     to the bound by squares, 0 to 0.05
 * @param zeroMotionError most that any known place may show between two equal frames, as a share of
 *     the wavelength, 0 to 0.05
 * @param strainError error in strained or partly changed tissue, as a share of the wavelength, 0 to
 *     0.1
 * @param largestDisplacement greatest displacement that is found, either way (m), 1e-06 to 0.01
 * @param largestStrain greatest strain, either way, that is coped with, 0.0001 to 0.1
 * @param lateralError error of lateral displacement, for estimators that give it (m), 0 to 0.001
 * @param coverage least share of the places away from the edges that are known where nothing is
 *     wrong with the echoes, 0.1 to 1
 * @param falseClaims greatest share of places that are called known where nothing can be, 0 to 0.2
 * @param grossShare greatest share of known places that are off by more than a quarter of the
 *     wavelength, 0 to 0.1
 * @param leastDeviationRatio least ratio of the errors seen to the deviation predicted, 0.3 to 1
 * @param mostDeviationRatio greatest ratio of the errors seen to the deviation predicted, 1 to 3
 */
public record DisplacementExpectations(
        double windowLength,
        double windowWidth,
        double boundMultiple,
        double systematicError,
        double zeroMotionError,
        double strainError,
        double largestDisplacement,
        double largestStrain,
        double lateralError,
        double coverage,
        double falseClaims,
        double grossShare,
        double leastDeviationRatio,
        double mostDeviationRatio) {

    /** What holds for an estimator whose author states nothing. */
    public static final DisplacementExpectations DEFAULTS =
            new DisplacementExpectations(
                    Double.NaN,
                    0,
                    1.5,
                    2e-4,
                    2e-4,
                    0.01,
                    0.6e-3,
                    0.01,
                    6e-5,
                    0.9,
                    0.05,
                    0.01,
                    0.7,
                    1.4);

    public DisplacementExpectations {
        if (!Double.isNaN(windowLength)) {
            Check.positive("window length", windowLength, "m");
        }
        Check.range("window width", windowWidth, 0, 1, "m");
        Check.range("bound multiple", boundMultiple, 1, 10, "");
        Check.range("systematic error", systematicError, 0, 0.05, "");
        Check.range("zero motion error", zeroMotionError, 0, 0.05, "");
        Check.range("strain error", strainError, 0, 0.1, "");
        Check.range("largest displacement", largestDisplacement, 1e-06, 0.01, "m");
        Check.range("largest strain", largestStrain, 0.0001, 0.1, "");
        Check.range("lateral error", lateralError, 0, 0.001, "m");
        Check.range("coverage", coverage, 0.1, 1, "");
        Check.range("false claims", falseClaims, 0, 0.2, "");
        Check.range("gross share", grossShare, 0, 0.1, "");
        Check.range("least deviation ratio", leastDeviationRatio, 0.3, 1, "");
        Check.range("most deviation ratio", mostDeviationRatio, 1, 3, "");
    }

    /**
     * States another window length.
     *
     * @param value the new value (m), or NaN
     * @return what is stated now
     */
    public DisplacementExpectations withWindowLength(double value) {
        return with(0, value);
    }

    /**
     * States another window width.
     *
     * @param value the new value (m)
     * @return what is stated now
     */
    public DisplacementExpectations withWindowWidth(double value) {
        return with(1, value);
    }

    /**
     * States another bound multiple.
     *
     * @param value the new value
     * @return what is stated now
     */
    public DisplacementExpectations withBoundMultiple(double value) {
        return with(2, value);
    }

    /**
     * States another systematic error.
     *
     * @param value the new value
     * @return what is stated now
     */
    public DisplacementExpectations withSystematicError(double value) {
        return with(3, value);
    }

    /**
     * States another zero motion error.
     *
     * @param value the new value
     * @return what is stated now
     */
    public DisplacementExpectations withZeroMotionError(double value) {
        return with(4, value);
    }

    /**
     * States another strain error.
     *
     * @param value the new value
     * @return what is stated now
     */
    public DisplacementExpectations withStrainError(double value) {
        return with(5, value);
    }

    /**
     * States another largest displacement.
     *
     * @param value the new value (m)
     * @return what is stated now
     */
    public DisplacementExpectations withLargestDisplacement(double value) {
        return with(6, value);
    }

    /**
     * States another largest strain.
     *
     * @param value the new value
     * @return what is stated now
     */
    public DisplacementExpectations withLargestStrain(double value) {
        return with(7, value);
    }

    /**
     * States another lateral error.
     *
     * @param value the new value (m)
     * @return what is stated now
     */
    public DisplacementExpectations withLateralError(double value) {
        return with(8, value);
    }

    /**
     * States another coverage.
     *
     * @param value the new value
     * @return what is stated now
     */
    public DisplacementExpectations withCoverage(double value) {
        return with(9, value);
    }

    /**
     * States another false claims.
     *
     * @param value the new value
     * @return what is stated now
     */
    public DisplacementExpectations withFalseClaims(double value) {
        return with(10, value);
    }

    /**
     * States another gross share.
     *
     * @param value the new value
     * @return what is stated now
     */
    public DisplacementExpectations withGrossShare(double value) {
        return with(11, value);
    }

    /**
     * States another least deviation ratio.
     *
     * @param value the new value
     * @return what is stated now
     */
    public DisplacementExpectations withLeastDeviationRatio(double value) {
        return with(12, value);
    }

    /**
     * States another most deviation ratio.
     *
     * @param value the new value
     * @return what is stated now
     */
    public DisplacementExpectations withMostDeviationRatio(double value) {
        return with(13, value);
    }

    private DisplacementExpectations with(int component, double value) {
        double[] v = {
            windowLength,
            windowWidth,
            boundMultiple,
            systematicError,
            zeroMotionError,
            strainError,
            largestDisplacement,
            largestStrain,
            lateralError,
            coverage,
            falseClaims,
            grossShare,
            leastDeviationRatio,
            mostDeviationRatio
        };
        v[component] = value;
        return new DisplacementExpectations(
                v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7], v[8], v[9], v[10], v[11], v[12],
                v[13]);
    }
}
