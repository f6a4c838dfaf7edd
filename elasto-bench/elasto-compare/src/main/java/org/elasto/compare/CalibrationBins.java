package org.elasto.compare;

import java.util.ArrayList;
import java.util.List;

/** Errors gathered by the deviation that was predicted for them, in bins of a fifth decade. */
final class CalibrationBins {

    private static final int PER_DECADE = 5;
    private static final int LOWEST_DECADE = -12;
    private static final int BINS = 14 * PER_DECADE;

    /** Fewer errors than these say nothing of their deviation. */
    private static final int FEWEST = 50;

    /**
     * A bin.
     *
     * @param predicted root mean square of the predicted deviations
     * @param found root mean square of the errors
     * @param count number of errors
     */
    record Bin(double predicted, double found, double count) {}

    private final double[] predicted = new double[BINS];
    private final double[] found = new double[BINS];
    private final long[] counts = new long[BINS];

    void add(double deviation, double error) {
        if (!(deviation > 0) || Double.isNaN(error)) {
            return;
        }
        int bin = (int) Math.floor((Math.log10(deviation) - LOWEST_DECADE) * PER_DECADE);
        bin = Math.max(0, Math.min(BINS - 1, bin));
        predicted[bin] += deviation * deviation;
        found[bin] += error * error;
        counts[bin]++;
    }

    List<Bin> bins() {
        List<Bin> result = new ArrayList<>();
        for (int i = 0; i < BINS; i++) {
            if (counts[i] >= FEWEST) {
                result.add(
                        new Bin(
                                Math.sqrt(predicted[i] / counts[i]),
                                Math.sqrt(found[i] / counts[i]),
                                counts[i]));
            }
        }
        return result;
    }
}
