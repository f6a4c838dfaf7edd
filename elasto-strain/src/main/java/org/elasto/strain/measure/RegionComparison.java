package org.elasto.strain.measure;

/**
 * Strain in one region against that in another: their ratio with its uncertainty, and the contrast
 * to noise.
 *
 * <p><b>Ratio.</b> Mean of the first over mean of the second. Its deviation is that of a quotient
 * to first order (the delta method, textbooks of statistics): {@code sqrt(d1² + r² d2²) / |m2|}.
 * The range holds the true ratio 95 times in 100 (Fieller, J R Stat Soc B 16:175&ndash;185, 1954;
 * from memory); where the second mean cannot be told from 0 it is without bounds. Regions that
 * share cells have errors in common, and the deviation is then too large.
 *
 * <p><b>Caution.</b> A strain ratio is not a stiffness ratio. A long cylinder k times stiffer than
 * its surroundings strains {@code 2 / (1 + k)} as much as tissue far away, a sphere {@code 5 / (3 +
 * 2 k)} (Eshelby, Proc R Soc A 241:376&ndash;396, 1957), so that even for these the ratio flattens
 * out, and shape, size, depth, what lies near and how the inclusion is bound change it. Close to a
 * stiff body strain is larger or smaller than far away. Tissue hardens as it is pressed, so the
 * ratio depends on how hard it was pressed to begin with. Compare regions at one depth, beside each
 * other.
 *
 * @param ratio first mean over second; NaN if either is not known
 * @param ratioDeviation its standard deviation
 * @param ratioLow lower end of the range, possibly infinite
 * @param ratioHigh upper end of the range, possibly infinite
 * @param contrastToNoise as {@link #contrastToNoise(RegionStatistics, RegionStatistics)}
 */
public record RegionComparison(
        double ratio,
        double ratioDeviation,
        double ratioLow,
        double ratioHigh,
        double contrastToNoise) {

    /** Deviations to either side that hold 95 of 100 normally distributed values. */
    private static final double SURE = 1.959964;

    /**
     * Compares two regions as they are now. Later updates of the statistics do not change the
     * result.
     *
     * @param first region in the numerator, such as the inclusion
     * @param second region in the denominator, such as the tissue beside it
     * @return the comparison
     */
    public static RegionComparison of(RegionStatistics first, RegionStatistics second) {
        return of(
                first.mean(),
                first.meanDeviation(),
                second.mean(),
                second.meanDeviation(),
                contrastToNoise(first, second));
    }

    /** The arithmetic of it. */
    static RegionComparison of(double m1, double d1, double m2, double d2, double contrast) {
        double ratio = m1 / m2;
        if (Double.isNaN(ratio) || m2 == 0) {
            return new RegionComparison(Double.NaN, Double.NaN, Double.NaN, Double.NaN, contrast);
        }
        double deviation = Math.hypot(d1, ratio * d2) / Math.abs(m2);
        double v1 = SURE * SURE * d1 * d1;
        double v2 = SURE * SURE * d2 * d2;
        double rest = m2 * m2 - v2;
        if (!(rest > 0)) {
            boolean known = !Double.isNaN(rest);
            return new RegionComparison(
                    ratio,
                    deviation,
                    known ? Double.NEGATIVE_INFINITY : Double.NaN,
                    known ? Double.POSITIVE_INFINITY : Double.NaN,
                    contrast);
        }
        double half = Math.sqrt(Math.max(0, m1 * m1 * v2 + m2 * m2 * v1 - v1 * v2));
        return new RegionComparison(
                ratio, deviation, (m1 * m2 - half) / rest, (m1 * m2 + half) / rest, contrast);
    }

    /**
     * Contrast to noise of strain: {@code sqrt(2 (m1 - m2)² / (s1² + s2²))} with means and
     * deviations over the regions (Varghese &amp; Ophir, Ultrasound Med Biol 24:915&ndash;924,
     * 1998). Allocates nothing.
     *
     * @param first one region
     * @param second the other
     * @return 0 or more; NaN if it is not known
     */
    public static double contrastToNoise(RegionStatistics first, RegionStatistics second) {
        double difference = first.mean() - second.mean();
        double noise =
                first.deviation() * first.deviation() + second.deviation() * second.deviation();
        return Math.abs(difference) * Math.sqrt(2 / noise);
    }
}
