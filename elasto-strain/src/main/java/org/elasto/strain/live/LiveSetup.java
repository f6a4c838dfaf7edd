package org.elasto.strain.live;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.elasto.api.FieldLayout;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.config.ConfigSchema;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.strain.picture.PictureConfig;

/**
 * Says what a live session is made of. Whatever is not said has its default: the preferred
 * estimators of the {@link Catalogue}, no quality metrics, pictures in grey, one worker.
 *
 * <pre>{@code
 * LiveSession session = LiveSetup.of(geometry)
 *         .displacement("dynamic-programming", "")
 *         .metric("match-correlation", "")
 *         .workers(Workers.threads(2))
 *         .start();
 * }</pre>
 *
 * <p>Not thread-safe. A setup makes one session: estimators belong to it.
 */
public final class LiveSetup {

    /** What a session is made of, all of it made. */
    record Parts(
            ScanGeometry geometry,
            SampleType sampleType,
            LiveConfig config,
            Workers workers,
            DisplacementEstimator tracker,
            String trackerName,
            StrainEstimator differentiator,
            String differentiatorName,
            List<SessionMetrics.Entry> metrics,
            PictureConfig pictures,
            String title,
            LiveListener listener) {}

    private interface MetricMaker {
        SessionMetrics.Entry make(FieldLayout field, StrainLayout strain);
    }

    /** Relative strain is shown from 0 to twice that of the surroundings. */
    private static final double BRIGHT = 2;

    private final ScanGeometry geometry;
    private SampleType sampleType = SampleType.INT16;
    private LiveConfig config = LiveConfig.DEFAULTS;
    private Workers workers = Workers.sequential();
    private String trackerName;
    private String trackerParameters = "";
    private DisplacementEstimator tracker;
    private String differentiatorName;
    private String differentiatorParameters = "";
    private StrainEstimator differentiator;
    private final List<MetricMaker> metricMakers = new ArrayList<>();
    private PictureConfig pictures = PictureConfig.DEFAULTS;
    private String title = "Live strain imaging";
    private LiveListener listener = new LiveListener() {};
    private boolean used;

    private LiveSetup(ScanGeometry geometry) {
        this.geometry = Objects.requireNonNull(geometry, "geometry is missing");
    }

    /**
     * A setup with everything at its default.
     *
     * @param geometry geometry of the frames
     * @return the setup
     */
    public static LiveSetup of(ScanGeometry geometry) {
        return new LiveSetup(geometry);
    }

    /**
     * How the session stores frames. Integers take half the memory and time.
     *
     * @param type {@link SampleType#INT16}, the default, takes frames of integers alone; {@link
     *     SampleType#FLOAT32} takes both
     * @return this setup
     */
    public LiveSetup sampleType(SampleType type) {
        sampleType = Objects.requireNonNull(type, "sample type is missing");
        return this;
    }

    /**
     * Parameters of the session.
     *
     * @param newConfig the parameters
     * @return this setup
     */
    public LiveSetup config(LiveConfig newConfig) {
        config = Objects.requireNonNull(newConfig, "config is missing");
        return this;
    }

    /**
     * Parameters of the session, as changes to the defaults by text such as {@code half-life=1}.
     *
     * @param parameters as for {@link ConfigSchema#parse(Record, String)}
     * @return this setup
     * @throws IllegalArgumentException if they cannot be understood or are out of range
     */
    public LiveSetup config(String parameters) {
        return config(LiveConfig.schema().parse(LiveConfig.DEFAULTS, parameters));
    }

    /**
     * Threads to compute with, besides the one that a {@link LiveSession} has.
     *
     * @param newWorkers the workers, for this session alone; the caller closes them, after it
     * @return this setup
     */
    public LiveSetup workers(Workers newWorkers) {
        workers = Objects.requireNonNull(newWorkers, "workers are missing");
        return this;
    }

    /**
     * Displacement estimator by name.
     *
     * @param name name in the catalogue
     * @param parameters changes to its defaults, as for {@link ConfigSchema#parse(Record, String)}
     * @return this setup
     */
    public LiveSetup displacement(String name, String parameters) {
        trackerName = Objects.requireNonNull(name, "name of the displacement estimator is missing");
        trackerParameters = Objects.requireNonNull(parameters, "parameters are missing");
        tracker = null;
        return this;
    }

    /**
     * Displacement estimator.
     *
     * @param estimator made for the setup's geometry, for this session alone
     * @return this setup
     */
    public LiveSetup displacement(DisplacementEstimator estimator) {
        tracker = Objects.requireNonNull(estimator, "displacement estimator is missing");
        trackerName = estimator.getClass().getName();
        return this;
    }

    /**
     * Strain estimator by name.
     *
     * @param name name in the catalogue
     * @param parameters changes to its defaults, as for {@link ConfigSchema#parse(Record, String)}
     * @return this setup
     */
    public LiveSetup strain(String name, String parameters) {
        differentiatorName =
                Objects.requireNonNull(name, "name of the strain estimator is missing");
        differentiatorParameters = Objects.requireNonNull(parameters, "parameters are missing");
        differentiator = null;
        return this;
    }

    /**
     * Strain estimator.
     *
     * @param estimator made for the displacement estimator's layout, for this session alone
     * @return this setup
     */
    public LiveSetup strain(StrainEstimator estimator) {
        differentiator = Objects.requireNonNull(estimator, "strain estimator is missing");
        differentiatorName = estimator.getClass().getName();
        return this;
    }

    /**
     * One more quality metric, by name. All metrics of that kind run side by side, a worker to
     * each.
     *
     * @param name name in the catalogue
     * @param parameters changes to its defaults, as for {@link ConfigSchema#parse(Record, String)}
     * @return this setup
     * @throws IllegalArgumentException if there is no such metric, with the ones there are
     */
    public LiveSetup metric(String name, String parameters) {
        Objects.requireNonNull(parameters, "parameters are missing");
        var provider = Catalogue.qualityMetrics().get(name);
        metricMakers.add(
                (f, s) -> {
                    QualityMetric metric =
                            Catalogue.create(provider, parameters, f, s, Workers.sequential());
                    return new SessionMetrics.Entry(name, metric, true);
                });
        return this;
    }

    /**
     * One more quality metric. It runs on the thread that works on the frames, alone, and may use
     * the session's workers.
     *
     * @param name what to call it
     * @param metric made for the two estimators' layouts, for this session alone
     * @return this setup
     */
    public LiveSetup metric(String name, QualityMetric metric) {
        Objects.requireNonNull(metric, "quality metric is missing");
        var entry =
                new SessionMetrics.Entry(
                        Objects.requireNonNull(name, "name of the metric is missing"),
                        metric,
                        false);
        metricMakers.add((f, s) -> entry);
        return this;
    }

    /**
     * How pictures look. Unless it says otherwise, relative strain is shown from 0 to 2.
     *
     * @param newPictures the parameters
     * @param newTitle first line above the pictures; the advice stands in the second
     * @return this setup
     */
    public LiveSetup pictures(PictureConfig newPictures, String newTitle) {
        pictures = Objects.requireNonNull(newPictures, "picture config is missing");
        title = Objects.requireNonNull(newTitle, "title is missing");
        return this;
    }

    /**
     * No pictures: for whoever draws the planes themselves.
     *
     * @return this setup
     */
    public LiveSetup withoutPictures() {
        pictures = null;
        return this;
    }

    /**
     * Who hears of images and failures.
     *
     * @param newListener the listener
     * @return this setup
     */
    public LiveSetup listener(LiveListener newListener) {
        listener = Objects.requireNonNull(newListener, "listener is missing");
        return this;
    }

    /**
     * Starts a session with a daemon thread of its own.
     *
     * @return the session
     * @throws IllegalArgumentException if a name or parameter is wrong or the parts do not fit
     * @throws IllegalStateException if this setup has been used
     */
    public LiveSession start() {
        return new LiveSession(parts());
    }

    /**
     * The same without threads, to be called frame by frame.
     *
     * @return the steps
     * @throws IllegalArgumentException if a name or parameter is wrong or the parts do not fit
     * @throws IllegalStateException if this setup has been used
     */
    public LiveSteps steps() {
        return new LiveSteps(parts());
    }

    private Parts parts() {
        if (used) {
            throw new IllegalStateException(
                    "this setup has already made a session, to which its estimators belong;"
                            + " make another setup");
        }
        makeTracker();
        makeDifferentiator();
        List<SessionMetrics.Entry> metrics = new ArrayList<>();
        for (MetricMaker maker : metricMakers) {
            metrics.add(maker.make(tracker.layout(), differentiator.layout()));
        }
        used = true;
        return new Parts(
                geometry,
                sampleType,
                config,
                workers,
                tracker,
                trackerName,
                differentiator,
                differentiatorName,
                List.copyOf(metrics),
                pictures == null ? null : bright(pictures),
                title,
                listener);
    }

    private void makeTracker() {
        if (tracker == null) {
            var catalogue = Catalogue.displacementEstimators();
            var provider = trackerName == null ? catalogue.preferred() : catalogue.get(trackerName);
            trackerName = provider.name();
            tracker = Catalogue.create(provider, trackerParameters, geometry, workers);
        }
        if (!tracker.layout().geometry().equals(geometry)) {
            throw new IllegalArgumentException(
                    "the displacement estimator is made for "
                            + tracker.layout().geometry()
                            + "; the session's frames have "
                            + geometry);
        }
    }

    private void makeDifferentiator() {
        if (differentiator == null) {
            var catalogue = Catalogue.strainEstimators();
            var provider =
                    differentiatorName == null
                            ? catalogue.preferred()
                            : catalogue.get(differentiatorName);
            differentiatorName = provider.name();
            differentiator =
                    Catalogue.create(provider, differentiatorParameters, tracker.layout(), workers);
        }
        if (!differentiator.layout().geometry().equals(geometry)) {
            throw new IllegalArgumentException(
                    "the strain estimator is made for "
                            + differentiator.layout().geometry()
                            + "; the session's frames have "
                            + geometry);
        }
    }

    private static PictureConfig bright(PictureConfig config) {
        if (!Double.isNaN(config.largestStrain())) {
            return config;
        }
        return PictureConfig.schema().parse(config, "largest-strain=" + BRIGHT);
    }
}
