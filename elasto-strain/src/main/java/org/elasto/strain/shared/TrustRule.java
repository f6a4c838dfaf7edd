package org.elasto.strain.shared;

import org.elasto.api.DisplacementField;
import org.elasto.api.StrainImage;

/**
 * What is trusted, for all estimators alike. Strain is trusted where it is known, its predicted
 * deviation is small enough, and both the place itself and its surroundings match well enough.
 *
 * <p>A place that is itself unknown is bridged only within a short gap: no deeper than an eighth of
 * the window, with a good match at both ends of the gap and most of the window known on either
 * side. So a lone unknown cell makes no speck, while strain behind bone, at the edge of lost
 * contact, or next to any larger unknown region stays untrusted.
 *
 * <p>Immutable and thread-safe.
 */
public final class TrustRule {

    private final float minimumCorrelation;
    private final float deviationLimit;
    private final int half;
    private final int bridge;

    /**
     * Makes a rule.
     *
     * @param minimumCorrelation smallest match correlation, of the place itself and of its
     *     surroundings on average
     * @param deviationLimit largest predicted deviation of strain
     * @param half rows to either side that strain is estimated from
     */
    public TrustRule(double minimumCorrelation, double deviationLimit, int half) {
        this.minimumCorrelation = (float) minimumCorrelation;
        this.deviationLimit = (float) deviationLimit;
        this.half = half;
        bridge = Math.max(1, half / 4);
    }

    /** Says what of a line is trusted; strain and deviation have been written. */
    void judge(DisplacementField field, int line, float[] meanMatch, StrainImage out) {
        float[] match = field.correlation();
        float[] axial = field.axial();
        float[] fieldDeviation = field.axialDeviation();
        float[] deviation = out.axialDeviation();
        boolean[] trusted = out.trusted();
        float limit = deviationLimit;
        float least = minimumCorrelation;
        int rows = field.rows();
        int offset = line * rows;
        for (int r = 0; r < rows; r++) {
            int at = offset + r;
            // False where the deviation is NaN, that is, where strain is unknown.
            trusted[at] =
                    deviation[at] <= limit
                            && meanMatch[r] >= least
                            && (Precision.isKnown(axial[at], fieldDeviation[at], match[at])
                                    ? match[at] >= least
                                    : isBridged(field, offset, r));
        }
    }

    private static boolean known(DisplacementField field, int at) {
        return Precision.isKnown(
                field.axial()[at], field.axialDeviation()[at], field.correlation()[at]);
    }

    private boolean isBridged(DisplacementField field, int offset, int row) {
        int first = row;
        int last = row;
        while (first > 0 && row - first <= bridge && !known(field, offset + first - 1)) {
            first--;
        }
        while (last < field.rows() - 1
                && last - first < bridge
                && !known(field, offset + last + 1)) {
            last++;
        }
        return last - first < bridge
                && first > 0
                && last < field.rows() - 1
                && holds(field, offset, first - 1, row - half)
                && holds(field, offset, last + 1, row + half);
    }

    /** Whether one end of a gap matches, and three quarters of the window beyond are known. */
    private boolean holds(DisplacementField field, int offset, int end, int farthest) {
        if (!(known(field, offset + end)
                && field.correlation()[offset + end] >= minimumCorrelation)) {
            return false;
        }
        int step = farthest < end ? -1 : 1;
        int count = 0;
        int of = 0;
        for (int r = end; r != farthest + step; r += step) {
            of++;
            boolean inside = r >= 0 && r < field.rows();
            count += inside && known(field, offset + r) ? 1 : 0;
        }
        return 4 * count >= 3 * of;
    }
}
