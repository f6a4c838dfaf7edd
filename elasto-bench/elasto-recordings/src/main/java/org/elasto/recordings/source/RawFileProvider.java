package org.elasto.recordings.source;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.elasto.api.Check;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.FrameSourceProvider;
import org.elasto.recordings.array.ElementType;
import org.elasto.recordings.array.RegionArray;

/**
 * Reads frames from files that hold nothing but samples, behind a header that is skipped. The file
 * says nothing about itself, so lines, samples and the scan parameters must be given.
 *
 * <p>Frames are read when they are asked for, so the file may be larger than memory. If frames are
 * the slowest axis, the whole frames of a file that ends early stay readable; if they are the
 * fastest, each frame costs a pass over the whole file.
 */
public final class RawFileProvider implements FrameSourceProvider<RawFileConfig> {

    private static final double OPEN = Double.NaN;

    /** For the service loader. */
    public RawFileProvider() {}

    @Override
    public String name() {
        return "raw-file";
    }

    @Override
    public String summary() {
        return "Recorded frames from a file of nothing but samples (.raw, .bin, .dat)";
    }

    @Override
    public String source() {
        return "common practice, no source";
    }

    @Override
    public RawFileConfig defaults() {
        return new RawFileConfig(
                ElementType.INT16,
                RawByteOrder.LITTLE_ENDIAN,
                0,
                AxisOrder.FRAMES_LINES_SAMPLES,
                0,
                0,
                0,
                OPEN,
                OPEN,
                OPEN,
                OPEN,
                OPEN,
                OPEN,
                OPEN,
                OPEN);
    }

    @Override
    public boolean recognises(String location) {
        String name = location.toLowerCase(Locale.ROOT);
        return name.endsWith(".raw") || name.endsWith(".bin") || name.endsWith(".dat");
    }

    @Override
    public FrameSource open(RawFileConfig config, String location) throws IOException {
        Path path = Locations.file(location);
        checkShape(config, location);
        FileChannel channel = FileChannel.open(path, StandardOpenOption.READ);
        try {
            long frameBytes =
                    Math.multiplyExact(
                            (long) config.lines() * config.samples(),
                            (long) config.sampleType().bytes());
            long bytes = Math.max(0, channel.size() - config.headerBytes());
            long whole = bytes / frameBytes;
            long expected = config.frames() == 0 ? whole : config.frames();
            String damage =
                    Locations.shortfall(
                            location,
                            config.headerBytes(),
                            frameBytes,
                            expected,
                            config.frames() != 0,
                            channel.size());
            boolean framesFirst = config.axisOrder().frameAxis(3) == 0;
            if (whole == 0 || (damage != null && !framesFirst)) {
                throw new IOException(damage);
            }
            if (expected > Integer.MAX_VALUE) {
                throw new IOException(
                        location
                                + " holds "
                                + expected
                                + " frames; at most 2147483647 can be read");
            }
            RegionArray array =
                    new RegionArray(
                            location,
                            config.sampleType(),
                            shape(config, (int) expected),
                            channel,
                            config.headerBytes(),
                            config.byteOrder().order());
            return Locations.frames(
                    location,
                    config,
                    config.axisOrder(),
                    array,
                    name -> Double.NaN,
                    Optional.ofNullable(damage),
                    channel);
        } catch (IOException | IllegalArgumentException e) {
            channel.close();
            throw e;
        }
    }

    private static void checkShape(RawFileConfig config, String location) {
        List<String> missing = new ArrayList<>();
        if (config.lines() == 0) {
            missing.add("lines");
        }
        if (config.samples() == 0) {
            missing.add("samples");
        }
        if (!missing.isEmpty()) {
            throw new IllegalArgumentException(
                    location
                            + " holds nothing but samples; give its "
                            + String.join(" and ", missing)
                            + " as parameters");
        }
        Check.range(
                "frame",
                config.lines() * (double) config.samples(),
                1,
                Integer.MAX_VALUE,
                "samples");
    }

    private static int[] shape(RawFileConfig config, int frames) {
        int[] shape = new int[3];
        shape[config.axisOrder().frameAxis(3)] = frames;
        shape[config.axisOrder().lineAxis(3)] = config.lines();
        shape[config.axisOrder().sampleAxis(3)] = config.samples();
        return shape;
    }
}
