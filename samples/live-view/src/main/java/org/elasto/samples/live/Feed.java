package org.elasto.samples.live;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.config.ConfigSchema;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.FrameSourceProvider;
import org.elasto.phantoms.LostContact;
import org.elasto.phantoms.PhantomConfig;
import org.elasto.phantoms.Phantoms;

/**
 * Frames that are played over and over: a phantom under a simulated hand, one cycle of press and
 * release, or a recording. A thread of its own makes or reads them ahead; what there is so far is
 * played to and fro meanwhile. A recording, which need not end as it began, always is.
 *
 * <p>One thread at a time takes frames.
 */
final class Feed implements AutoCloseable {

    /** Phantoms that can be put under the simulated hand. */
    static final List<String> SCENES =
            List.of("two-stiff-inclusions", "soft-inclusion-above-bone", "stiff-sphere", "uniform");

    /** Frames of one press and release, 0.8 s; common practice, no source. */
    private static final int CYCLE = 40;

    /** Different frames of a lifted probe, so that their noise differs. */
    private static final int LIFTED = 3;

    private static final double PEAK_STRAIN = 0.025;
    private static final double SWAY = 0.1e-3;

    /** Frames that must be there before playing starts. */
    private static final int ENOUGH = 8;

    private static final long MOST_BYTES = 400_000_000;

    private final FrameSource source;
    private final boolean cyclic;
    private final Workers workers;
    private final RfFrame[] pressed;
    private final RfFrame[] lifted;
    private final Thread thread;
    private volatile int ready;
    private volatile int readyLifted;
    private volatile String problem;
    private volatile boolean closed;
    private int position;
    private int direction = 1;
    private int liftedPosition;

    private Feed(FrameSource source, int frames, int liftedFrames, Workers workers) {
        this.source = source;
        this.workers = workers;
        cyclic = liftedFrames > 0;
        pressed = new RfFrame[frames];
        lifted = new RfFrame[liftedFrames];
        thread = new Thread(this::fill, "frames ahead");
        thread.setDaemon(true);
        thread.setPriority(Thread.MIN_PRIORITY);
        thread.start();
    }

    /**
     * Opens a phantom by its name, or a recording by its file.
     *
     * @throws IOException if a file cannot be read
     * @throws IllegalArgumentException if it is neither
     */
    static Feed open(String location, String parameters) throws IOException {
        return SCENES.contains(location) ? hand(location, parameters) : recording(location);
    }

    private static Feed hand(String scene, String parameters) {
        int frames = CYCLE + LIFTED;
        double[] press = new double[frames];
        double[] sway = new double[frames];
        for (int i = 0; i < CYCLE; i++) {
            double phase = 2 * Math.PI * i / CYCLE;
            press[i] = PEAK_STRAIN * (1 - Math.cos(phase)) / 2;
            sway[i] = SWAY * Math.sin(phase) / 2;
        }
        PhantomConfig config =
                ConfigSchema.of(PhantomConfig.class).parse(PhantomConfig.DEFAULTS, parameters);
        config = ConfigSchema.of(PhantomConfig.class).parse(config, "frames=" + frames);
        Workers workers = Workers.threads(2);
        FrameSource phantom =
                Phantoms.builder(scene, config)
                        .press(press)
                        .drift(sway)
                        .lostContact(LostContact.allLines(CYCLE, frames - 1))
                        .workers(workers)
                        .build();
        return new Feed(phantom, CYCLE, LIFTED, workers);
    }

    private static Feed recording(String location) throws IOException {
        List<FrameSourceProvider<?>> fitting =
                Catalogue.frameSources().providers().stream()
                        .filter(provider -> provider.recognises(location))
                        .toList();
        if (fitting.size() != 1 || !Files.exists(Path.of(location))) {
            throw new IllegalArgumentException(
                    "'"
                            + location
                            + "' is neither a recording whose kind can be told nor one of the"
                            + " phantoms "
                            + String.join(", ", SCENES));
        }
        FrameSource source = Catalogue.open(fitting.get(0), "", location);
        long bytes = (long) source.geometry().lines() * source.geometry().samples();
        bytes *= source.sampleType() == SampleType.INT16 ? 2 : 4;
        int frames = (int) Math.min(source.frameCount(), Math.max(2, MOST_BYTES / bytes));
        return new Feed(source, frames, 0, Workers.sequential());
    }

    private void fill() {
        try {
            for (int i = 0; i < pressed.length && !closed; i++) {
                pressed[i] = source.read(i);
                ready = i + 1;
                for (int k = 0; i == ENOUGH - 1 && k < lifted.length && !closed; k++) {
                    lifted[k] = source.read(pressed.length + k);
                    readyLifted = k + 1;
                }
            }
        } catch (IOException | RuntimeException e) {
            problem = source.name() + ": " + e.getMessage();
        }
    }

    String name() {
        return source.name();
    }

    ScanGeometry geometry() {
        return source.geometry();
    }

    SampleType sampleType() {
        return source.sampleType();
    }

    boolean canLift() {
        return lifted.length > 0;
    }

    /** Whether every frame is there. */
    boolean isComplete() {
        return ready == pressed.length;
    }

    /** What went wrong while reading ahead; null if nothing did. */
    String problem() {
        return problem;
    }

    /** The next frame to play, or null if there are not enough yet. Its stamp is the taker's. */
    RfFrame next(boolean isLifted) {
        int there = ready;
        if (isLifted && readyLifted > 0) {
            liftedPosition = (liftedPosition + 1) % readyLifted;
            return lifted[liftedPosition];
        }
        if (there < Math.min(ENOUGH, pressed.length)) {
            return null;
        }
        RfFrame frame = pressed[position];
        if (cyclic && there == pressed.length) {
            position = (position + 1) % there;
        } else if (there > 1) {
            if (position + direction < 0 || position + direction >= there) {
                direction = -direction;
            }
            position += direction;
        }
        return frame;
    }

    @Override
    public void close() throws IOException {
        closed = true;
        Threads.join(thread);
        workers.close();
        source.close();
    }
}
