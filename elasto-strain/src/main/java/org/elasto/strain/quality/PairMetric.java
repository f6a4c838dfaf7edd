package org.elasto.strain.quality;

import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.plugin.QualityMetric;

/** What all metrics here have in common: they know their layouts and refuse others. */
abstract class PairMetric implements QualityMetric {

    final FieldLayout fieldLayout;
    final StrainLayout strainLayout;

    PairMetric(FieldLayout field, StrainLayout strain) {
        Check.same("geometry of the strain image", strain.geometry(), field.geometry());
        fieldLayout = field;
        strainLayout = strain;
    }

    @Override
    public final double score(
            RfFrame reference,
            RfFrame moved,
            DisplacementField field,
            StrainImage strain,
            float[] map) {
        Check.same("layout of the displacement field", field.layout(), fieldLayout);
        Check.same("layout of the strain image", strain.layout(), strainLayout);
        if (!hasMap()) {
            return judge(reference, moved, field, strain, null);
        }
        if (map != null) {
            Check.same("size of the map", map.length, strainLayout.planeSize());
        }
        return judge(reference, moved, field, strain, map);
    }

    /** As {@link #score}, once everything fits; the map is null if not wanted. */
    abstract double judge(
            RfFrame reference,
            RfFrame moved,
            DisplacementField field,
            StrainImage strain,
            float[] map);

    /** Whether the strain at a place may be used: trusted, and known with its deviation. */
    static boolean isUsable(boolean trusted, float strain, float deviation) {
        return trusted && !Float.isNaN(strain) && deviation >= 0;
    }

    /** Rises in a straight line from 0 at one value to 1 at another. */
    static double ramp(double value, double zero, double one) {
        return Math.min(1, Math.max(0, (value - zero) / (one - zero)));
    }
}
