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

    MatchCorrelation(MatchCorrelationConfig config, FieldLayout field, StrainLayout strain) {
        super(field, strain);
        countUnknown = config.countUnknown();
        fieldRows = new FieldRows(field.grid(), strain.grid());
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
        int rows = strain.rows();
        double sum = 0;
        long count = 0;
        for (int line = 0; line < strain.lines(); line++) {
            for (int r = 0; r < rows; r++) {
                int place = line * rows + r;
                boolean known = !Float.isNaN(strain.axial()[place]) && fieldRows.has(r);
                float value =
                        known ? fieldRows.correlation(field.correlation(), line, r) : Float.NaN;
                if (map != null) {
                    map[place] = value;
                }
                if (known) {
                    sum += value;
                }
                count += known || countUnknown ? 1 : 0;
            }
        }
        return count == 0 ? Double.NaN : Math.min(1, sum / count);
    }
}
