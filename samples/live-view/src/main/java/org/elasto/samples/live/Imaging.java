package org.elasto.samples.live;

import java.util.concurrent.TimeUnit;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.strain.live.LiveImage;
import org.elasto.strain.live.LiveListener;
import org.elasto.strain.live.LiveSession;
import org.elasto.strain.live.LiveSetup;
import org.elasto.strain.picture.PictureConfig;
import org.elasto.strain.picture.PictureScale;
import org.elasto.strain.picture.StrainPicture;

/** A live session with its workers, and what has to be known of it. */
final class Imaging implements AutoCloseable {

    /** The metric that the strip shows. */
    static final String METRIC = "match-correlation";

    private static final int WORKERS = 2;

    private final Workers workers = Workers.threads(WORKERS);
    private final LiveSession session;
    private final FieldLayout fieldLayout;
    private final StrainLayout strainLayout;
    private final PictureScale echoScale;
    private final PictureScale strainScale;

    /**
     * Makes and starts a session.
     *
     * @throws IllegalArgumentException if estimators, parameters and frames do not fit
     */
    Imaging(Feed feed, Choice choice, PictureConfig pictures, LiveListener listener) {
        boolean made = false;
        try {
            DisplacementEstimator tracker =
                    Catalogue.create(
                            Catalogue.displacementEstimators().get(choice.tracker()),
                            Choice.text(choice.trackerParameters()),
                            feed.geometry(),
                            workers);
            StrainEstimator differentiator =
                    Catalogue.create(
                            Catalogue.strainEstimators().get(choice.differentiator()),
                            Choice.text(choice.differentiatorParameters()),
                            tracker.layout(),
                            workers);
            fieldLayout = tracker.layout();
            strainLayout = differentiator.layout();
            StrainPicture like = new StrainPicture(pictures, strainLayout, Workers.sequential());
            echoScale = like.echoScale();
            strainScale = like.strainScale();
            session =
                    LiveSetup.of(feed.geometry())
                            .sampleType(feed.sampleType())
                            .config("half-life=" + choice.halfLife())
                            .workers(workers)
                            .displacement(tracker)
                            .strain(differentiator)
                            .metric(METRIC, "")
                            .pictures(pictures, feed.name() + ", " + choice.tracker())
                            .listener(listener)
                            .start();
            made = true;
        } finally {
            if (!made) {
                workers.close();
            }
        }
    }

    void offer(RfFrame frame) {
        session.offer(frame);
    }

    LiveImage take() {
        return session.take();
    }

    LiveSession session() {
        return session;
    }

    FieldLayout fieldLayout() {
        return fieldLayout;
    }

    StrainLayout strainLayout() {
        return strainLayout;
    }

    PictureScale echoScale() {
        return echoScale;
    }

    PictureScale strainScale() {
        return strainScale;
    }

    /** Waits for the frame that is being worked on, however long an estimator takes over it. */
    @Override
    public void close() {
        session.close();
        boolean interrupted = false;
        boolean ended = false;
        while (!ended) {
            try {
                ended = session.awaitIdle(1, TimeUnit.SECONDS);
            } catch (InterruptedException e) {
                interrupted = true;
            }
        }
        workers.close();
        if (interrupted) {
            Thread.currentThread().interrupt();
        }
    }
}
