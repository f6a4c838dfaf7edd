package org.elasto.strain.quality;

import org.elasto.api.FieldLayout;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.QualityMetricProvider;

/**
 * Judges whether the probe touches tissue, from the samples of the two frames alone: the share of
 * the blocks between {@code blind-depth} and {@code full-depth} in which tissue echoes in both,
 * over every few lines. Half of the probe lifted gives one half; so does tissue that echoes half as
 * deep.
 *
 * <p>A block of a line holds tissue if
 *
 * <ul>
 *   <li>enough of its power lies in the pulse's band: noise is taken to be white, and half a period
 *       away its samples have nothing to do with each other, while those of an echo are nearly each
 *       other's negative. The share of echo is the correlation at that distance over that of a
 *       pulse with a bandwidth of 60 %. Silence and a constant have no echo;
 *   <li>it is not like the same block on a neighbouring line looked at: these lie farther apart
 *       than the beam is wide, so that speckle differs, while the ringing of a probe in air, there
 *       and back between its face and itself, is the same on all lines. (A flat bright surface
 *       square to the beam is also alike, and costs its block.)
 *   <li>it is stronger by that share than {@code noise-level}, if that is given. Needed where the
 *       receiver passes the pulse's band alone: such noise has the spectrum of an echo.
 * </ul>
 *
 * <p>Near the probe's face ringing and tissue overlap, hence the blind depth. The map shows for
 * every place, as deep as the scan goes, whether its block on the nearest line looked at holds
 * tissue: 1 or 0; 0 above the blind depth. Samples that are NaN or infinite make their block one
 * without echo. Without samples between the two depths the score is NaN.
 *
 * <p>Cheap: reads a line in about {@code line-distance}, and takes three sums over its samples.
 *
 * <p>Stateless and thread-safe.
 */
public final class ContactProvider implements QualityMetricProvider<ContactConfig> {

    /** For the service loader. */
    public ContactProvider() {}

    @Override
    public String name() {
        return "contact";
    }

    @Override
    public String summary() {
        return "share of the lines, down to a depth, from which tissue echoes come back in the"
                + " second frame";
    }

    @Override
    public String source() {
        return "common practice, no source";
    }

    @Override
    public ContactConfig defaults() {
        return ContactConfig.DEFAULTS;
    }

    @Override
    public String meaningOfZero() {
        return "no tissue echo comes back: air before the probe, or only noise";
    }

    @Override
    public String meaningOfOne() {
        return "tissue echoes come back on all lines, as deep as asked";
    }

    /**
     * Makes a metric.
     *
     * @param config parameters
     * @param field layout of the displacement fields
     * @param strain layout of the strain images
     * @param workers not used
     * @return a new metric
     * @throws IllegalArgumentException if the two layouts belong to different geometries
     */
    @Override
    public QualityMetric create(
            ContactConfig config, FieldLayout field, StrainLayout strain, Workers workers) {
        return new Contact(config, field, strain);
    }
}
