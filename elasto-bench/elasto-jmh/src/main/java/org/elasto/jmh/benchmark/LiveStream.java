package org.elasto.jmh.benchmark;

import org.elasto.api.RfFrame;
import org.elasto.api.plugin.Catalogue;
import org.elasto.strain.live.LiveCounters;
import org.elasto.strain.live.LiveImage;
import org.elasto.strain.live.LiveSetup;
import org.elasto.strain.live.LiveSteps;

/**
 * A live session with everything in it (pictures, every quality metric of the catalogue, the rest
 * at its default) and an endless stream of frames at 50 a second for it: tissue pressed and
 * released in a circle. One thread at a time.
 */
public final class LiveStream {

    private static final long PERIOD_NANOS = 20_000_000;

    private final RfFrame[] frames = new RfFrame[Scan.FRAMES];
    private final LiveSteps steps;
    private long index;

    /**
     * Makes a session.
     *
     * @param choice displacement estimator: a name, {@code name:parameter=value,...}, or {@code
     *     preferred}
     * @param scan frames and workers
     * @throws IllegalArgumentException if the choice cannot be understood
     */
    public LiveStream(String choice, Scan scan) {
        for (int i = 0; i < frames.length; i++) {
            frames[i] = scan.frame(i);
        }
        LiveSetup setup = LiveSetup.of(scan.geometry()).workers(scan.threads());
        if (!choice.equals(Plugins.PREFERRED)) {
            setup.displacement(Plugins.name(choice), Plugins.parameters(choice));
        }
        for (String metric : Catalogue.qualityMetrics().names()) {
            setup.metric(metric, "");
        }
        steps = setup.steps();
    }

    /**
     * Works on the next frame.
     *
     * @return what the session says about it
     */
    public LiveImage next() {
        RfFrame frame = frames[(int) (index % frames.length)];
        frame.stamp(index, index * PERIOD_NANOS);
        index++;
        return steps.step(frame);
    }

    /**
     * What has been done so far.
     *
     * @return the session's counters
     */
    public LiveCounters counters() {
        return steps.counters();
    }
}
