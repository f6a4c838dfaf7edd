package org.elasto.samples.live;

import java.awt.GraphicsEnvironment;
import java.lang.reflect.InvocationTargetException;
import java.nio.file.Path;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import javax.swing.SwingUtilities;
import org.elasto.strain.live.LiveCounters;

/**
 * A window that plays a phantom under a simulated hand, or a recording, at 50 frames a second and
 * shows echo and strain, the advice, motion and quality, and what can be chosen. Research and
 * engineering use; not a medical device.
 */
public final class LiveView {

    private LiveView() {}

    /**
     * Opens the window.
     *
     * @param arguments as {@code --help} lists them
     * @throws Exception if the window cannot be made
     */
    public static void main(String[] arguments) throws Exception {
        if (java.util.List.of(arguments).contains("--help")) {
            System.out.print(Options.USAGE);
            return;
        }
        if (GraphicsEnvironment.isHeadless()) {
            System.err.println("error: there is no screen to open a window on");
            System.exit(1);
        }
        Options options;
        try {
            options = Options.parse(arguments);
        } catch (IllegalArgumentException e) {
            System.err.println("error: " + e.getMessage());
            System.err.print(Options.USAGE);
            System.exit(2);
            return;
        }
        LiveWindow window = open(options, Path.of("live-pictures"));
        if (options.seconds() > 0) {
            measure(window, options.seconds());
            SwingUtilities.invokeAndWait(window::close);
        }
        window.awaitClosed();
    }

    static LiveWindow open(Options options, Path folder)
            throws InterruptedException, InvocationTargetException {
        AtomicReference<LiveWindow> window = new AtomicReference<>();
        SwingUtilities.invokeAndWait(
                () -> {
                    Look.install();
                    window.set(new LiveWindow(options, folder));
                });
        return window.get();
    }

    /** Prints every ten seconds, and at the end, what was shown and how much memory is in use. */
    private static void measure(LiveWindow window, int seconds) throws InterruptedException {
        long drawn = 0;
        long dropped = 0;
        long played = 0;
        int before = 0;
        for (int now = 10; before < seconds; now += 10) {
            int until = Math.min(now, seconds);
            TimeUnit.SECONDS.sleep(until - before);
            System.gc();
            Runtime runtime = Runtime.getRuntime();
            LiveCounters counters = window.controller().counters();
            long shownNow = window.view().drawnCount();
            long droppedNow = counters == null ? 0 : counters.dropped();
            long playedNow = window.player().played();
            System.out.printf(
                    Locale.ROOT,
                    "%4d s: %.1f frames/s in, %.1f shown, %.1f dropped; %d kB of heap in use%n",
                    until,
                    (double) (playedNow - played) / (until - before),
                    (double) (shownNow - drawn) / (until - before),
                    (double) (droppedNow - dropped) / (until - before),
                    (runtime.totalMemory() - runtime.freeMemory()) / 1024);
            drawn = shownNow;
            dropped = droppedNow;
            played = playedNow;
            before = until;
        }
    }
}
