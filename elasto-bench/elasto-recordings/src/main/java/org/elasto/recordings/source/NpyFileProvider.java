package org.elasto.recordings.source;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.Optional;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.FrameSourceProvider;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.array.RegionArray;
import org.elasto.recordings.npy.NpyHeader;

/**
 * Reads frames from a {@code .npy} file of NumPy: one array of two or three axes, in C or Fortran
 * order, of either byte order. Such a file says nothing about the scan, so its parameters must be
 * given.
 *
 * <p>Frames are read when they are asked for, so the file may be larger than memory. Whole frames
 * before a place where the file ends early stay readable if frames vary slowest in the file.
 */
public final class NpyFileProvider implements FrameSourceProvider<ArrayFileConfig> {

    /** For the service loader. */
    public NpyFileProvider() {}

    @Override
    public String name() {
        return "npy-file";
    }

    @Override
    public String summary() {
        return "Recorded frames from a NumPy file (.npy)";
    }

    @Override
    public String source() {
        return "NumPy reference, numpy.lib.format (versions 1.0, 2.0, 3.0)";
    }

    @Override
    public ArrayFileConfig defaults() {
        return ArrayFileConfig.open(AxisOrder.FRAMES_LINES_SAMPLES);
    }

    @Override
    public boolean recognises(String location) {
        return Locations.test(location, NpyHeader::recognises);
    }

    @Override
    public FrameSource open(ArrayFileConfig config, String location) throws IOException {
        Path path = Locations.file(location);
        FileChannel channel = FileChannel.open(path, StandardOpenOption.READ);
        try {
            NpyHeader header = NpyHeader.read(location, channel);
            ArrayInfo info = ArrayChoice.choose(location, "", "", List.of(header.info()));
            RegionArray array =
                    new RegionArray(
                            location,
                            info.element(),
                            header.storedShape(),
                            channel,
                            header.start(),
                            header.order());
            AxisOrder order =
                    header.fortranOrder() ? config.axisOrder().reversed() : config.axisOrder();
            int frameAxis = order.frameAxis(array.rank());
            String damage =
                    Locations.shortfall(
                            location,
                            header.start(),
                            array.slabSize(frameAxis) * info.element().bytes(),
                            frameAxis < 0 ? 1 : array.size(frameAxis),
                            true,
                            channel.size());
            return Locations.framesBeforeDamage(
                    location,
                    config,
                    order,
                    array,
                    name -> Double.NaN,
                    Optional.ofNullable(damage),
                    channel);
        } catch (IOException | RuntimeException e) {
            channel.close();
            throw e;
        }
    }
}
