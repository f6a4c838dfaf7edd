package org.elasto.samples.live;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.RejectedExecutionException;
import java.util.function.Consumer;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.strain.live.LiveCounters;
import org.elasto.strain.live.LiveFailure;
import org.elasto.strain.live.LiveListener;
import org.elasto.strain.picture.Picture;
import org.elasto.strain.picture.PictureConfig;
import org.elasto.strain.picture.PngWriter;
import org.elasto.strain.picture.StrainPicture;

/**
 * Does what is asked for in the window and takes time: opens sources, makes sessions, saves
 * pictures; one after the other, on a thread of its own. Answers come on that thread.
 */
final class Controller implements AutoCloseable {

    private static final double LEAST_PIXELS = 3;
    private static final double MOST_PIXELS = 40;

    private final ExecutorService thread =
            Executors.newSingleThreadExecutor(
                    task -> {
                        Thread made = new Thread(task, "control");
                        made.setDaemon(true);
                        return made;
                    });
    private final Player player;
    private final Exchange exchange;
    private final Consumer<String> says;
    private final String sourceParameters;
    private final Path folder;

    // The thread's own.
    private Feed feed;
    private Choice choice;
    private int saved;
    private int width = 900;
    private int height = 540;
    private int textScale = 1;

    private volatile Imaging imaging;
    private volatile double pixelsPerMillimetre = Double.NaN;

    Controller(
            Player player,
            Exchange exchange,
            Choice choice,
            String sourceParameters,
            Path folder,
            Consumer<String> says) {
        this.player = player;
        this.exchange = exchange;
        this.choice = choice;
        this.sourceParameters = sourceParameters;
        this.folder = folder;
        this.says = says;
    }

    /** Room for the picture, in pixels of the screen, and how large its text is. */
    void fit(int newWidth, int newHeight, int newTextScale) {
        submit(
                () -> {
                    width = newWidth;
                    height = newHeight;
                    textScale = newTextScale;
                    if (feed != null && imaging != null) {
                        double before = pixelsPerMillimetre;
                        if (fitting() != before) {
                            restart(choice);
                        }
                    }
                });
    }

    /** Plays another source; afterwards runs {@code done} with whether its probe can be lifted. */
    void open(String location, Consumer<Boolean> done) {
        submit(
                () -> {
                    says.accept("Opening " + location);
                    Feed opened = Feed.open(location, sourceParameters);
                    Feed old = feed;
                    feed = opened;
                    try {
                        restart(choice);
                        says.accept("Playing " + opened.name());
                    } catch (IllegalArgumentException e) {
                        feed = old;
                        opened.close();
                        throw e;
                    }
                    if (old != null) {
                        old.close();
                    }
                    done.accept(opened.canLift());
                });
    }

    /**
     * Tries a choice; the answer is the reason for which it is refused, or empty. A refused choice
     * leaves everything as it was.
     */
    void choose(Choice wanted, Consumer<String> answer) {
        submit(
                () -> {
                    if (feed == null) {
                        choice = wanted;
                        answer.accept("");
                        return;
                    }
                    try {
                        restart(wanted);
                        answer.accept("");
                        says.accept("Now " + wanted.tracker() + " and " + wanted.differentiator());
                    } catch (IllegalArgumentException e) {
                        answer.accept(e.getMessage());
                    }
                });
    }

    /** Changes the half-life of the average; the session goes on. */
    void halfLife(double seconds) {
        submit(
                () -> {
                    choice = choice.withHalfLife(seconds);
                    if (imaging != null) {
                        imaging.session().setHalfLife(seconds);
                    }
                });
    }

    /** Saves the picture that is seen now, cautions and all. */
    void save() {
        Picture picture = exchange.copy();
        Seen seen = exchange.seen();
        if (picture == null) {
            says.accept("There is no picture yet");
            return;
        }
        submit(
                () -> {
                    String time =
                            DateTimeFormatter.ofPattern("yyyyMMdd-HHmmss")
                                    .format(LocalDateTime.now());
                    Path file = folder.resolve("strain-" + time + "-" + ++saved + ".png");
                    Files.createDirectories(folder);
                    Map<String, String> texts = new LinkedHashMap<>();
                    texts.put("Title", feed.name() + ", frame " + seen.frame());
                    texts.put("Estimators", choice.tracker() + ", " + choice.differentiator());
                    texts.put("Regions", String.join("; ", seen.regions()));
                    PngWriter.write(file, picture, pixelsPerMillimetre, texts);
                    says.accept("Saved " + file);
                });
    }

    private void restart(Choice wanted) {
        double pixels = fitting(wanted);
        Imaging made = new Imaging(feed, wanted, pictures(pixels), listener());
        Imaging old = imaging;
        player.play(feed, made);
        exchange.serve(made);
        imaging = made;
        choice = wanted;
        pixelsPerMillimetre = pixels;
        if (old != null) {
            old.close();
        }
    }

    private LiveListener listener() {
        return new LiveListener() {
            @Override
            public void imageReady(long frameIndex) {
                exchange.ready();
            }

            @Override
            public void failed(LiveFailure failure) {
                says.accept(failure.toString());
            }
        };
    }

    private double fitting() {
        return fitting(choice);
    }

    /** Pixels a millimetre at which the picture fills the room there is. */
    private double fitting(Choice wanted) {
        var tracker =
                Catalogue.create(
                        Catalogue.displacementEstimators().get(wanted.tracker()),
                        Choice.text(wanted.trackerParameters()),
                        feed.geometry(),
                        Workers.sequential());
        var differentiator =
                Catalogue.create(
                        Catalogue.strainEstimators().get(wanted.differentiator()),
                        Choice.text(wanted.differentiatorParameters()),
                        tracker.layout(),
                        Workers.sequential());
        double probe = 8 * textScale;
        StrainPicture small =
                new StrainPicture(pictures(probe), differentiator.layout(), Workers.sequential());
        Picture size = small.newPicture();
        double across = small.strainScale().width() / probe;
        double down = small.strainScale().height() / probe;
        double pixels =
                Math.min(
                        probe + (width - size.width()) / (2 * across),
                        probe + (height - size.height()) / down);
        pixels = Math.floor(4 * pixels) / 4;
        return Math.max(LEAST_PIXELS, Math.min(MOST_PIXELS, pixels));
    }

    private PictureConfig pictures(double pixels) {
        return PictureConfig.schema()
                .parse(
                        PictureConfig.DEFAULTS,
                        "pixels-per-millimetre=" + pixels + ",text-scale=" + textScale);
    }

    /** What the session has done so far; null if there is none. */
    LiveCounters counters() {
        Imaging current = imaging;
        return current == null ? null : current.session().counters();
    }

    private interface Job {
        void run() throws IOException;
    }

    private void submit(Job job) {
        try {
            thread.execute(
                    () -> {
                        try {
                            job.run();
                        } catch (IOException | UncheckedIOException e) {
                            says.accept("Not done: " + e.getMessage());
                        } catch (RuntimeException e) {
                            says.accept("Refused: " + e.getMessage());
                        }
                    });
        } catch (RejectedExecutionException e) {
            // The window is closing: nobody waits for the answer.
            return;
        }
    }

    @Override
    public void close() {
        submit(
                () -> {
                    player.play(null, null);
                    exchange.serve(null);
                    if (imaging != null) {
                        imaging.close();
                    }
                    if (feed != null) {
                        feed.close();
                    }
                });
        thread.shutdown();
        boolean interrupted = false;
        try {
            thread.awaitTermination(20, java.util.concurrent.TimeUnit.SECONDS);
        } catch (InterruptedException e) {
            interrupted = true;
        }
        if (interrupted) {
            Thread.currentThread().interrupt();
        }
    }
}
