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
        match = new float[strain.grid().rows()];
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
        for (int line = 0; line < strain.lines(); line++) {
            int from = line * rows;
            fieldRows.correlation(field.correlation(), line, match);
            if (map != null) {
                System.arraycopy(match, 0, map, from, rows);
            }
            for (int r = 0; r < rows; r++) {
                if (Float.isNaN(axial[from + r]) || Float.isNaN(match[r])) {
                    known--;
                    match[r] = 0;
                    if (map != null) {
                        map[from + r] = Float.NaN;
                    }
                }
            }
            sum += sum(match);
        }
        int count = countUnknown ? axial.length : known;
        return count == 0 ? Double.NaN : Math.min(1, sum / count);
    }

    /** In four sums that do not wait for one another. */
    private static double sum(float[] values) {
        double a = 0;
        double b = 0;
        double c = 0;
        double d = 0;
        int k = 0;
        for (; k + 3 < values.length; k += 4) {
            a += values[k];
            b += values[k + 1];
            c += values[k + 2];
            d += values[k + 3];
        }
        for (; k < values.length; k++) {
            a += values[k];
        }
        return a + b + (c + d);
    }
}
