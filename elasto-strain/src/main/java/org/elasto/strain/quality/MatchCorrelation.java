package org.elasto.strain.quality;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;

/** The metric that {@link MatchCorrelationProvider} makes and describes. */
final class MatchCorrelation extends PairMetric {

    private final boolean countUnknown;
    private final FieldRows fieldRows;
    private final float[] match;

    MatchCorrelation(MatchCorrelationConfig config, FieldLayout field, StrainLayout strain) {
        super(field, strain);
        countUnknown = config.countUnknown();
        fieldRows = new FieldRows(field.grid(), strain.grid(), Float.NaN);
        match = new float[FieldRows.BLOCK * strain.grid().rows()];
    }

    @Override
    public boolean hasMap() {
        return true;
    }

    @Override
    double judge(
            RfFrame reference,
            RfFrame moved,
            DisplacementField field,
            StrainImage strain,
            float[] map) {
        float[] axial = strain.axial();
        float[] match = this.match;
        int rows = strain.rows();
        double sum = 0;
        int known = axial.length;
        for (int line = 0; line < strain.lines(); line += FieldRows.BLOCK) {
            int from = line * rows;
            int lines = Math.min(FieldRows.BLOCK, strain.lines() - line);
            fieldRows.correlation(field.correlation(), line, lines, match);
            if (map != null) {
                System.arraycopy(match, 0, map, from, lines * rows);
            }
            for (int i = 0; i < lines * rows; i++) {
                if (Float.isNaN(axial[from + i]) || Float.isNaN(match[i])) {
                    known--;
                    match[i] = 0;
                    if (map != null) {
                        map[from + i] = Float.NaN;
                    }
                }
            }
            for (int k = 0; k < lines; k++) {
                sum += sum(match, k * rows, (k + 1) * rows);
            }
        }
        int count = countUnknown ? axial.length : known;
        return count == 0 ? Double.NaN : Math.min(1, sum / count);
    }

    /** In four sums that do not wait for one another. */
    private static double sum(float[] values, int from, int end) {
        double a = 0;
        double b = 0;
        double c = 0;
        double d = 0;
        int k = from;
        for (; k + 3 < end; k += 4) {
            a += values[k];
            b += values[k + 1];
            c += values[k + 2];
            d += values[k + 3];
        }
        for (; k < end; k++) {
            a += values[k];
        }
        return a + b + (c + d);
    }
}
