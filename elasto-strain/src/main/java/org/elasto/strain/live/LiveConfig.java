package org.elasto.strain.live;

import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.Parameter;

/**
 * Parameters of the live session. Immutable and thread-safe.
 *
 * @param waitingFrames frames that may wait before the oldest is dropped, 1 to 64
 * @param heldFrames earlier frames that a new one may be compared with, 1 to 64
 * @param targetStrain size of strain between the two frames of a pair that is best, 1e-5 to 0.05
 * @param leastStrain size of strain below which a pair is not worth comparing, 0 to 0.05
 * @param mostStrain size of strain from one frame to the next above which motion is too fast, 1e-4
 *     to 0.2
 * @param mostSpeed fastest sideways motion of the probe over the tissue (m/s), 1e-4 to 1
 * @param leastContact smallest share of the probe's face with contact, 0 to 1
 * @param badShare largest share of samples that may be flawed, 0 to 1
 * @param leastTrusted smallest share of the image that must be trusted, 0 to 1
 * @param halfLife time after which a pair counts half in the average (s), 0 to 60; 0 for no average
 * @param deviationLimit largest predicted deviation of relative strain at which it is trusted,
 *     0.001 to 10
 */
public record LiveConfig(
        @Parameter(meaning = "frames that may wait", min = 1, max = 64) int waitingFrames,
        @Parameter(meaning = "earlier frames that can be partners", min = 1, max = 64)
                int heldFrames,
        @Parameter(meaning = "best size of strain between two frames", min = 1e-5, max = 0.05)
                double targetStrain,
        @Parameter(meaning = "smallest strain worth comparing", min = 0, max = 0.05)
                double leastStrain,
        @Parameter(meaning = "largest strain from frame to frame", min = 1e-4, max = 0.2)
                double mostStrain,
        @Parameter(meaning = "fastest sideways motion", unit = "m/s", min = 1e-4, max = 1)
                double mostSpeed,
        @Parameter(meaning = "smallest share of the face with contact", min = 0, max = 1)
                double leastContact,
        @Parameter(meaning = "largest share of flawed samples", min = 0, max = 1) double badShare,
        @Parameter(meaning = "smallest share of the image to be trusted", min = 0, max = 1)
                double leastTrusted,
        @Parameter(meaning = "half-life of the average, 0 for none", unit = "s", min = 0, max = 60)
                double halfLife,
        @Parameter(meaning = "largest predicted deviation of relative strain", min = 1e-3, max = 10)
                double deviationLimit) {

    /** Every parameter at its default. */
    public static final LiveConfig DEFAULTS =
            new LiveConfig(4, 12, 0.008, 6e-4, 0.03, 8e-3, 0.5, 0.2, 0.05, 0.5, 0.25);

    public LiveConfig {
        ConfigSchema.check(
                LiveConfig.class,
                waitingFrames,
                heldFrames,
                targetStrain,
                leastStrain,
                mostStrain,
                mostSpeed,
                leastContact,
                badShare,
                leastTrusted,
                halfLife,
                deviationLimit);
        if (leastStrain > targetStrain) {
            throw new IllegalArgumentException(
                    "least-strain is "
                            + leastStrain
                            + "; it must not be above target-strain, "
                            + targetStrain);
        }
    }

    /**
     * The schema, for a change by text such as {@code half-life=1,target-strain=0.005}.
     *
     * @return the schema
     */
    public static ConfigSchema<LiveConfig> schema() {
        return ConfigSchema.of(LiveConfig.class);
    }
}
