package org.elasto.strain.quality;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of {@link UsableMotionProvider}. Immutable and thread-safe.
 *
 * @param leastRatio size of strain over its predicted deviation up to which nothing is measured, 0
 *     to 100
 * @param goodRatio the same from which motion is enough, above {@code leastRatio}, up to 1000
 * @param leastCorrelation match correlation up to which echoes do not match, 0 to 1
 * @param goodCorrelation the same from which they match well, above {@code leastCorrelation}, up to
 *     1
 * @param countedShare share of the image, its best matching part, that has to match, 0.01 to 1; the
 *     rest may lie behind bone or beyond the reach of the echoes
 */
public record UsableMotionConfig(
        @Parameter(
                        meaning = "strain over its deviation up to which nothing is measured",
                        min = 0,
                        max = 100)
                double leastRatio,
        @Parameter(
                        meaning = "strain over its deviation from which motion is enough",
                        min = 0,
                        max = 1000)
                double goodRatio,
        @Parameter(meaning = "correlation up to which echoes do not match", min = 0, max = 1)
                double leastCorrelation,
        @Parameter(meaning = "correlation from which echoes match well", min = 0, max = 1)
                double goodCorrelation,
        @Parameter(meaning = "share of the image that has to match", min = 0.01, max = 1)
                double countedShare) {

    /** Every parameter at its default. */
    public static final UsableMotionConfig DEFAULTS = new UsableMotionConfig(1, 5, 0.5, 0.9, 0.5);

    public UsableMotionConfig {
        ConfigSchema.check(
                UsableMotionConfig.class,
                leastRatio,
                goodRatio,
                leastCorrelation,
                goodCorrelation,
                countedShare);
        checkOrder("ratio", leastRatio, goodRatio);
        checkOrder("correlation", leastCorrelation, goodCorrelation);
    }

    private static void checkOrder(String what, double least, double good) {
        if (!(least < good)) {
            throw new IllegalArgumentException(
                    "good-"
                            + what
                            + " is "
                            + good
                            + "; it must be greater than the least-"
                            + what
                            + " of "
                            + least);
        }
    }
}
