package org.elasto.jmh.benchmark;

import java.util.List;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.config.ConfigSchema;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.PhantomConfig;
import org.elasto.phantoms.Phantoms;
import org.openjdk.jmh.annotations.Level;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.TearDown;

/**
 * The frames that a benchmark works on and the threads it may use: the phantom with two stiff
 * inclusions, pressed for four frames and released for four, so that its eight frames can be played
 * in a circle. Samples are 16-bit integers.
 */
@State(Scope.Benchmark)
public class Scan {

    /** Frames until the motion repeats. */
    public static final int FRAMES = 8;

    /** Lines and samples a line of each frame. */
    @Param({"64x1024", "128x2337", "256x4096"})
    public String size;

    /** Number of workers. */
    @Param({"1", "2"})
    public int workers;

    private Phantom phantom;
    private Workers threads;

    /** For the benchmark driver. */
    public Scan() {}

    /**
     * For a size and a number of workers; {@link #open} makes it ready.
     *
     * @param size as {@link #size}
     * @param workers as {@link #workers}
     */
    public Scan(String size, int workers) {
        this.size = size;
        this.workers = workers;
    }

    /**
     * Lines and samples of a size.
     *
     * @param size such as {@code 128x2337}
     * @return lines and samples a line
     * @throws IllegalArgumentException if it is not written so
     */
    public static int[] dimensions(String size) {
        List<String> parts = List.of(size.split("x", -1));
        if (parts.size() != 2 || !parts.stream().allMatch(p -> p.matches("[0-9]{1,5}"))) {
            throw new IllegalArgumentException(
                    "size is '" + size + "'; it must be lines x samples, such as 128x2337");
        }
        return new int[] {Integer.parseInt(parts.get(0)), Integer.parseInt(parts.get(1))};
    }

    /** Makes phantom and threads. */
    @Setup(Level.Trial)
    public void open() {
        int[] dimensions = dimensions(size);
        PhantomConfig config =
                ConfigSchema.of(PhantomConfig.class)
                        .parse(
                                PhantomConfig.DEFAULTS,
                                "lines=" + dimensions[0] + ",samples=" + dimensions[1]);
        threads = Workers.threads(workers);
        phantom = Phantoms.builder("two-stiff-inclusions", config).workers(threads).build();
    }

    /** Ends the threads. */
    @TearDown(Level.Trial)
    public void close() {
        threads.close();
    }

    /**
     * Where the frames come from.
     *
     * @return the phantom
     */
    public Phantom phantom() {
        return phantom;
    }

    /**
     * Geometry of the frames.
     *
     * @return the geometry
     */
    public ScanGeometry geometry() {
        return phantom.geometry();
    }

    /**
     * The threads to use.
     *
     * @return the workers
     */
    public Workers threads() {
        return threads;
    }

    /**
     * Makes a frame.
     *
     * @param number frame number, from 0 to below {@link #FRAMES}
     * @return the frame
     */
    public RfFrame frame(int number) {
        RfFrame frame = phantom.newFrame();
        phantom.read(number, frame);
        return frame;
    }
}
