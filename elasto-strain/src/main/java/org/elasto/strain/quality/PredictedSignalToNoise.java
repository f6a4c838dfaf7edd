package org.elasto.strain.quality;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;

/** The metric that {@link PredictedSignalToNoiseProvider} makes and describes. */
final class PredictedSignalToNoise extends PairMetric {

    private final double half;

    PredictedSignalToNoise(
            PredictedSignalToNoiseConfig config, FieldLayout field, StrainLayout strain) {
        super(field, strain);
        half = config.ratioOfHalf();
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
        double sum = 0;
        double squares = 0;
        int count = 0;
        for (int i = 0; i < strain.length; i++) {
            boolean usable = isUsable(trusted[i], strain[i], deviation[i]);
            if (usable) {
                sum += strain[i];
                squares += (double) deviation[i] * deviation[i];
                count++;
            }
            if (map != null) {
                map[i] = usable ? Math.abs(strain[i]) : Float.NaN;
            }
        }
        if (map != null) {
            toScores(map, deviation, (float) half, map.length);
        }
        return count == 0 ? Double.NaN : score(Math.abs(sum / count), Math.sqrt(squares / count));
    }

    /** {@code q / (q + h)} without dividing by a deviation of 0; no strain is no signal. */
    private double score(double size, double deviation) {
        return size == 0 ? 0 : size / (size + half * deviation);
    }

    /** The same for all places at once; sizes are NaN where nothing is usable. */
    private static void toScores(float[] size, float[] deviation, float half, int n) {
        for (int i = 0; i < n; i++) {
            size[i] /= Math.max(size[i], Float.MIN_NORMAL) + half * deviation[i];
        }
    }
}
