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

    // Of some lines. What is not known has no size and no match, and a deviation of 1.
    private final float[] size;
    private final float[] deviation;
    private final float[] match;

    // Sums over trusted places.
    private double squares;
    private double errors;

    UsableMotion(UsableMotionConfig config, FieldLayout field, StrainLayout strain) {
        super(field, strain);
        this.config = config;
        fieldRows = new FieldRows(field.grid(), strain.grid(), 0);
        size = new float[FieldRows.BLOCK * strain.grid().rows()];
        deviation = new float[size.length];
        match = new float[size.length];
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
        Arrays.fill(histogram, 0);
        squares = 0;
        errors = 0;
        for (int line = 0; line < image.lines(); line += FieldRows.BLOCK) {
            int from = line * image.rows();
            int lines = Math.min(FieldRows.BLOCK, image.lines() - line);
            int places = lines * image.rows();
            fieldRows.correlation(field.correlation(), line, lines, match);
            takeIn(image.axial(), image.axialDeviation(), image.trusted(), from, places);
            count(match, places);
            if (map != null) {
                fill(map, from, places);
            }
        }
        double enough = enough(Math.sqrt(Math.max(0, squares - errors)), Math.sqrt(errors));
        return Math.min(enough, matching(bestMatches(strainLayout.planeSize())));
    }

    /** Takes in the strain of some lines. */
    private void takeIn(float[] strain, float[] predicted, boolean[] trusted, int from, int n) {
        float[] size = this.size;
        float[] deviation = this.deviation;
        double ownSquares = squares;
        double ownErrors = errors;
        for (int r = 0; r < n; r++) {
            float e = strain[from + r];
            float s = predicted[from + r];
            if (!Float.isNaN(e) && s >= 0) {
                size[r] = Math.abs(e);
                deviation[r] = s;
                if (trusted[from + r]) {
                    ownSquares += (double) e * e;
                    ownErrors += (double) s * s;
                }
            } else {
                size[r] = 0;
                deviation[r] = 1;
                match[r] = 0;
            }
        }
        squares = ownSquares;
        errors = ownErrors;
    }

    private void count(float[] match, int n) {
        int[] histogram = this.histogram;
        for (int i = 0; i < n; i++) {
            // In double: as a float, half a step more might be rounded up.
            histogram[(int) (match[i] * STEPS + 0.5)]++;
        }
    }

    /** Each place by itself. */
    private void fill(float[] map, int from, int n) {
        float ratio = (float) config.leastRatio();
        float correlation = (float) config.leastCorrelation();
        float perRatio = (float) (1 / (config.goodRatio() - config.leastRatio()));
        float perCorrelation = (float) (1 / (config.goodCorrelation() - config.leastCorrelation()));
        toScores(match, size, deviation, correlation, perCorrelation, ratio, perRatio, n);
        System.arraycopy(match, 0, map, from, n);
    }

    private static void toScores(
            float[] match,
            float[] size,
            float[] deviation,
            float leastCorrelation,
            float perCorrelation,
            float leastRatio,
            float perRatio,
            int n) {
        for (int i = 0; i < n; i++) {
            // No motion at all is none where no noise is predicted, too.
            float ratio = size[i] / Math.max(deviation[i], Float.MIN_NORMAL);
            float enough = (ratio - leastRatio) * perRatio;
            float matching = (match[i] - leastCorrelation) * perCorrelation;
            match[i] = Math.min(1f, Math.max(0f, Math.min(enough, matching)));
        }
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
