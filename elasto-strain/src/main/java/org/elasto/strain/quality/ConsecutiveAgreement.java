package org.elasto.strain.quality;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;

/** The metric that {@link ConsecutiveAgreementProvider} makes and describes. */
final class ConsecutiveAgreement extends PairMetric {

    private final double needed;

    /** The last image: its strain where it was trusted, NaN elsewhere. */
    private final float[] before;

    ConsecutiveAgreement(
            ConsecutiveAgreementConfig config, FieldLayout field, StrainLayout strain) {
        super(field, strain);
        before = new float[strain.planeSize()];
        needed = config.leastOverlap() * before.length;
        reset();
    }

    @Override
    public boolean hasMemory() {
        return true;
    }

    @Override
    public void reset() {
        Arrays.fill(before, Float.NaN);
    }

    @Override
    double judge(
            RfFrame reference,
            RfFrame moved,
            DisplacementField field,
            StrainImage image,
            float[] map) {
        float[] strain = image.axial();
        boolean[] trusted = image.trusted();
        float[] before = this.before;
        double product = 0;
        double squares = 0;
        double squaresBefore = 0;
        int count = 0;
        for (int i = 0; i < strain.length; i++) {
            float now = strain[i];
            float last = before[i];
            before[i] = now;
            if (!trusted[i]) {
                before[i] = Float.NaN;
            } else if (!Float.isNaN(now) && !Float.isNaN(last)) {
                product += (double) now * last;
                squares += (double) now * now;
                squaresBefore += (double) last * last;
                count++;
            }
        }
        double norm = Math.sqrt(squares) * Math.sqrt(squaresBefore);
        return count >= needed && norm > 0 ? Math.min(1, Math.abs(product) / norm) : Double.NaN;
    }
}
