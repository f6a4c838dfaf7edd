package org.elasto.strain.quality;

import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.plugin.QualityMetric;

/** The metric that {@link MatchCorrelationProvider} makes and describes. */
final class MatchCorrelation implements QualityMetric {

    private final boolean countUnknown;
    private final FieldLayout fieldLayout;
    private final StrainLayout strainLayout;

    /** For each row of the strain image the row of the field above it, or -1 if there is none. */
    private final int[] above;

    private final float[] below;

    MatchCorrelation(MatchCorrelationConfig config, FieldLayout field, StrainLayout strain) {
        Check.same("geometry of the strain image", strain.geometry(), field.geometry());
        countUnknown = config.countUnknown();
        fieldLayout = field;
        strainLayout = strain;
        RowGrid grid = field.grid();
        above = new int[strain.grid().rows()];
        below = new float[above.length];
        for (int r = 0; r < above.length; r++) {
            double row = grid.rowAt(strain.grid().depth(r));
            if (row >= -0.5 && row <= grid.rows() - 0.5) {
                double inside = Math.min(Math.max(row, 0), grid.rows() - 1.0);
                above[r] = (int) inside;
                below[r] = (float) (inside - above[r]);
            } else {
                above[r] = -1;
            }
        }
    }

    @Override
    public boolean hasMap() {
        return true;
    }

    @Override
    public double score(
            RfFrame reference,
            RfFrame moved,
            DisplacementField field,
            StrainImage strain,
            float[] map) {
        Check.same("layout of the displacement field", field.layout(), fieldLayout);
        Check.same("layout of the strain image", strain.layout(), strainLayout);
        int rows = above.length;
        int lines = field.lines();
        if (map != null) {
            Check.same("size of the map", map.length, lines * rows);
        }
        double sum = 0;
        long count = 0;
        for (int line = 0; line < lines; line++) {
            for (int r = 0; r < rows; r++) {
                int place = line * rows + r;
                boolean known = !Float.isNaN(strain.axial()[place]) && above[r] >= 0;
                float value = known ? correlation(field.correlation(), line, r) : Float.NaN;
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

    private float correlation(float[] plane, int line, int r) {
        int rows = fieldLayout.grid().rows();
        int i = line * rows + above[r];
        float share = below[r];
        float value = share == 0 ? plane[i] : plane[i] + share * (plane[i + 1] - plane[i]);
        return Math.min(1f, Math.max(0f, value));
    }
}
