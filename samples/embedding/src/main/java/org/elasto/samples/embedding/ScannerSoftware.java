package org.elasto.samples.embedding;

import java.io.PrintStream;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.elasto.api.plugin.Catalogue;
import org.elasto.phantoms.PhantomConfig;
import org.elasto.phantoms.Phantoms;
import org.elasto.strain.picture.Cautions;

/**
 * Scanner software with strain imaging: an acquisition thread, an executor, a display loop, and a
 * line of figures every second.
 */
public final class ScannerSoftware {

    private ScannerSoftware() {}

    /**
     * Runs the sample.
     *
     * @param arguments how many seconds to run, 10 if left out; then the displacement estimator,
     *     the preferred one if left out; then its parameters
     * @throws InterruptedException if interrupted
     */
    public static void main(String[] arguments) throws InterruptedException {
        int seconds = arguments.length > 0 ? Integer.parseInt(arguments[0]) : 10;
        String estimator =
                arguments.length > 1
                        ? arguments[1]
                        : Catalogue.displacementEstimators().preferred().name();
        String parameters = arguments.length > 2 ? arguments[2] : "";
        System.out.println(Cautions.TEXT);
        run(PhantomConfig.DEFAULTS, seconds, estimator, parameters, System.out);
    }

    static void run(
            PhantomConfig probe, int seconds, String estimator, String parameters, PrintStream out)
            throws InterruptedException {
        ThreadPoolExecutor executor = executor(1);
        try (AcquisitionCard card =
                        new AcquisitionCard(
                                Phantoms.builder("two-stiff-inclusions", probe).build());
                Screen screen = new Screen();
                StrainImaging strain = new StrainImaging(card, executor, estimator, parameters)) {
            long start = System.nanoTime();
            screen.start(strain);
            card.start(strain);
            Meter meter = new Meter(screen, "acquisition", "screen", "calculation", "elasto live");
            out.println("Bytes allocated count the threads " + meter.watched());
            for (int second = 1; second <= seconds; second++) {
                TimeUnit.NANOSECONDS.sleep(start + second * 1_000_000_000L - System.nanoTime());
                out.println(meter.line(second, strain.counters()));
            }
            card.stop();
            out.println("in all " + card.acquired() + " acquired; " + strain.counters());
        } finally {
            executor.shutdown();
        }
    }

    /** The scanner's own threads, with a queue that allocates nothing. */
    private static ThreadPoolExecutor executor(int threads) {
        AtomicInteger count = new AtomicInteger();
        ThreadPoolExecutor executor =
                new ThreadPoolExecutor(
                        threads,
                        threads,
                        0,
                        TimeUnit.SECONDS,
                        new ArrayBlockingQueue<>(64),
                        task -> new Thread(task, "calculation " + count.incrementAndGet()));
        executor.prestartAllCoreThreads();
        return executor;
    }
}
