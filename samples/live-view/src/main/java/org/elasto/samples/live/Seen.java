package org.elasto.samples.live;

import org.elasto.strain.live.Advice;
import org.elasto.strain.live.LiveImage;
import org.elasto.strain.measure.RegionComparison;
import org.elasto.strain.picture.PictureScale;

/** What the window says beside a picture. Immutable. */
record Seen(
        long frame,
        Advice advice,
        double depthReached,
        double lastDepth,
        double trustedShare,
        double strainSinceLast,
        double score,
        boolean compared,
        PictureScale echoScale,
        PictureScale strainScale,
        String[] regions,
        RegionComparison comparison) {

    /** Echoes count as ending early if they reach no deeper than this share of the scan. */
    private static final double EARLY = 0.9;

    static Seen of(
            LiveImage image, Imaging imaging, String[] regions, RegionComparison comparison) {
        int trusted = 0;
        for (boolean each : image.trusted()) {
            trusted += each ? 1 : 0;
        }
        return new Seen(
                image.frameIndex(),
                image.advice(),
                image.depthReached(),
                imaging.fieldLayout().geometry().lastDepth(),
                (double) trusted / image.trusted().length,
                image.strainSinceLast(),
                image.scores()[0],
                image.refusal() == null,
                imaging.echoScale(),
                imaging.strainScale(),
                regions,
                comparison);
    }

    /** Whether something hides what lies deeper, such as bone. */
    boolean endsEarly() {
        return advice != Advice.NO_CONTACT && depthReached < EARLY * lastDepth;
    }
}
