package org.elasto.strain.live;

import java.util.Arrays;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.strain.picture.Picture;

/**
 * What a session has made of one frame: strain relative to its surroundings averaged over time, the
 * pair's own strain, quality scores, advice, and the picture.
 *
 * <p>Planes are line after line, as in {@link StrainImage}, and the image's own arrays. Everything
 * is in the places of the frame with {@link #frameIndex}. Strain is relative: it depends on how the
 * probe was pressed and on what lies around, and is not stiffness.
 *
 * <p>Memory is used again. An image taken from a {@link LiveSession} belongs to the taker until
 * {@link #close}; one from {@link LiveSteps} is good until the next step. Not thread-safe.
 */
public final class LiveImage implements AutoCloseable {

    private final FieldLayout fieldLayout;
    private final StrainImage strain;
    private final RelativePlanes pair;
    private final RelativePlanes averaged;
    private final double[] scores;
    private final float[][] maps;
    private final Picture picture;
    private final LiveSession owner;
    private boolean taken;

    // Written by the engine.
    long frameIndex;
    long timeNanos;
    long partnerIndex;
    long newestPairNanos;
    long offeredNanos;
    long finishedNanos;
    Advice advice = Advice.STARTING;
    Refusal refusal;
    double pairStrain;
    double strainSinceLast;
    double sidewaysSinceLast;
    double contactShare;
    double depthReached;

    LiveImage(
            FieldLayout field,
            StrainLayout layout,
            int metrics,
            boolean[] mapped,
            Picture picture,
            LiveSession owner) {
        fieldLayout = field;
        int size = layout.planeSize();
        strain = new StrainImage(layout);
        pair = new RelativePlanes(size);
        averaged = new RelativePlanes(size);
        scores = new double[metrics];
        maps = new float[metrics][];
        for (int i = 0; i < metrics; i++) {
            maps[i] = mapped[i] ? new float[size] : null;
        }
        this.picture = picture;
        this.owner = owner;
    }

    /**
     * The frame this image belongs to.
     *
     * @return its index
     */
    public long frameIndex() {
        return frameIndex;
    }

    /**
     * When that frame was acquired.
     *
     * @return its time stamp (ns)
     */
    public long timeNanos() {
        return timeNanos;
    }

    /**
     * The earlier frame it was compared with.
     *
     * @return its index, -1 if it was not compared
     */
    public long partnerIndex() {
        return partnerIndex;
    }

    /**
     * Time stamp of the newest frame whose comparison has entered the average.
     *
     * @return time (ns), {@link Long#MIN_VALUE} if there is none
     */
    public long newestPairNanos() {
        return newestPairNanos;
    }

    /**
     * Time from handing over the frame to the end of the work on it.
     *
     * @return duration (ns)
     */
    public long latencyNanos() {
        return finishedNanos - offeredNanos;
    }

    /**
     * What to tell the person who holds the probe.
     *
     * @return the advice
     */
    public Advice advice() {
        return advice;
    }

    /**
     * Why this frame has given no strain.
     *
     * @return the reason; null if it was compared and its strain is in the average
     */
    public Refusal refusal() {
        return refusal;
    }

    /**
     * Typical size of the strain between the two frames.
     *
     * @return size of strain; NaN if it was not compared
     */
    public double pairStrain() {
        return pairStrain;
    }

    /**
     * Strain since the frame before, from a quick look at a few lines.
     *
     * @return strain, positive when pressed; NaN if unknown
     */
    public double strainSinceLast() {
        return strainSinceLast;
    }

    /**
     * Sideways motion of the tissue since the frame before, from a quick look at a few lines.
     *
     * @return distance (m), positive towards higher lines; NaN if unknown
     */
    public double sidewaysSinceLast() {
        return sidewaysSinceLast;
    }

    /**
     * Share of the probe's face that has contact.
     *
     * @return 0 to 1; NaN if unknown
     */
    public double contactShare() {
        return contactShare;
    }

    /**
     * Depth down to which echoes were recognised, averaged over the lines looked at.
     *
     * @return depth (m); NaN if unknown
     */
    public double depthReached() {
        return depthReached;
    }

    /**
     * Strain between the two frames, as the strain estimator gave it; from this frame to its
     * partner, hence positive when tissue was pressed meanwhile. All unknown if it was not
     * compared.
     *
     * @return the strain image
     */
    public StrainImage strain() {
        return strain;
    }

    /**
     * The pair's strain relative to its surroundings, not averaged: 1 as the surroundings, less is
     * stiffer.
     *
     * @return the plane; NaN where untrusted
     */
    public float[] pairRelative() {
        return pair.relative();
    }

    /**
     * Predicted standard deviation of {@link #pairRelative}.
     *
     * @return the plane; NaN where untrusted
     */
    public float[] pairDeviation() {
        return pair.deviation();
    }

    /**
     * Where {@link #pairRelative} can be trusted.
     *
     * @return the mask
     */
    public boolean[] pairTrusted() {
        return pair.trusted();
    }

    /**
     * Strain relative to its surroundings, averaged over time: 1 as the surroundings, less is
     * stiffer.
     *
     * @return the plane; NaN where untrusted
     */
    public float[] relative() {
        return averaged.relative();
    }

    /**
     * Predicted standard deviation of {@link #relative}.
     *
     * @return the plane; NaN where untrusted
     */
    public float[] deviation() {
        return averaged.deviation();
    }

    /**
     * Where {@link #relative} can be trusted.
     *
     * @return the mask
     */
    public boolean[] trusted() {
        return averaged.trusted();
    }

    /**
     * Shape of the planes.
     *
     * @return the layout
     */
    public StrainLayout layout() {
        return strain.layout();
    }

    /**
     * Shape of the displacement fields that strain is made from.
     *
     * @return the layout
     */
    public FieldLayout fieldLayout() {
        return fieldLayout;
    }

    /**
     * Scores of the quality metrics, in the order they were named in.
     *
     * @return the image's own array; NaN where there is none
     */
    public double[] scores() {
        return scores;
    }

    /**
     * Map of a quality metric.
     *
     * @param metric its number, in the order they were named in
     * @return the plane, NaN where there is no score; null if the metric gives no map
     */
    public float[] map(int metric) {
        return maps[metric];
    }

    /**
     * Echo and strain picture, to be read only: of what somebody else draws around the two panels,
     * the next image in the same memory may still show something.
     *
     * @return the picture; null if the session makes none
     */
    public Picture picture() {
        return picture;
    }

    /** Gives the image back to its session; does nothing the second time. */
    @Override
    public void close() {
        if (owner != null && taken) {
            taken = false;
            owner.giveBack(this);
        }
    }

    void markTaken() {
        taken = true;
    }

    /** The planes of {@link #pairRelative}. */
    RelativePlanes pair() {
        return pair;
    }

    /** The planes of {@link #relative}. */
    RelativePlanes averaged() {
        return averaged;
    }

    /**
     * Makes the image one of a frame that has not been compared yet. What the pair gives is either
     * written in full later, or {@linkplain #clearPair cleared}.
     */
    void begin(RfFrame frame) {
        frameIndex = frame.index();
        timeNanos = frame.timeNanos();
        partnerIndex = -1;
        refusal = null;
        pairStrain = Double.NaN;
        strainSinceLast = Double.NaN;
        sidewaysSinceLast = Double.NaN;
        contactShare = Double.NaN;
        depthReached = Double.NaN;
    }

    void clearPair() {
        pairStrain = Double.NaN;
        strain.clear();
        pair.clear();
        Arrays.fill(scores, Double.NaN);
        for (float[] map : maps) {
            if (map != null) {
                Arrays.fill(map, Float.NaN);
            }
        }
    }
}
