package org.elasto.strain.quality;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;

/** The metric that {@link UsableMotionProvider} makes and describes. */
final class UsableMotion extends PairMetric {

    /** Steps of correlation that are told apart. */
    private static final int STEPS = 1000;

    private final UsableMotionConfig config;
    private final FieldRows fieldRows;
    private final int[] histogram = new int[STEPS + 1];

    UsableMotion(UsableMotionConfig config, FieldLayout field, StrainLayout strain) {
        super(field, strain);
        this.config = config;
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
            StrainImage image,
            float[] map) {
        float[] strain = image.axial();
        float[] deviation = image.axialDeviation();
        boolean[] trusted = image.trusted();
        int rows = image.rows();
        Arrays.fill(histogram, 0);
        double squares = 0;
        double errors = 0;
        for (int line = 0; line < image.lines(); line++) {
            for (int r = 0; r < rows; r++) {
                int i = line * rows + r;
                boolean known = !Float.isNaN(strain[i]) && deviation[i] >= 0;
                float match =
                        known && fieldRows.has(r)
                                ? fieldRows.correlation(field.correlation(), line, r)
                                : 0;
                histogram[Math.round(match * STEPS)]++;
                if (known && trusted[i]) {
                    squares += (double) strain[i] * strain[i];
                    errors += (double) deviation[i] * deviation[i];
                }
                if (map != null) {
                    map[i] = known ? place(strain[i], deviation[i], match) : 0;
                }
            }
        }
        double enough = enough(Math.sqrt(Math.max(0, squares - errors)), Math.sqrt(errors));
        return Math.min(enough, matching(bestMatches(strain.length)));
    }

    private float place(float strain, float deviation, float match) {
        return (float) Math.min(enough(Math.abs(strain), deviation), matching(match));
    }

    private double enough(double size, double deviation) {
        if (size == 0) {
            return 0;
        }
        return ramp(size / deviation, config.leastRatio(), config.goodRatio());
    }

    private double matching(double correlation) {
        return ramp(correlation, config.leastCorrelation(), config.goodCorrelation());
    }

    /** Mean correlation of the share of places that match best. */
    private double bestMatches(int places) {
        long wanted = (long) Math.ceil(config.countedShare() * places);
        long left = wanted;
        double sum = 0;
        for (int step = STEPS; step >= 0 && left > 0; step--) {
            long here = Math.min(left, histogram[step]);
            sum += (double) here * step / STEPS;
            left -= here;
        }
        return sum / wanted;
    }
}
