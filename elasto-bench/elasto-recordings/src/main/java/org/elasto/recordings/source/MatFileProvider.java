package org.elasto.recordings.source;

import java.io.IOException;
import java.nio.file.Path;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.FrameSourceProvider;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.array.StoredArray;
import org.elasto.recordings.mat.MatInput;

/**
 * Reads frames from MAT-files of level 5 (versions 5 to 7.2; a MAT-file of version 7.3 is an HDF5
 * file and read by {@link Hdf5FileProvider}).
 *
 * <p>The array is read into memory when the file is opened: it must fit there, and hold at most
 * 2147483639 bytes. Frames before a place where the file ends early stay readable if frames are the
 * last index of the array.
 */
public final class MatFileProvider implements FrameSourceProvider<MatFileConfig> {

    private static final double OPEN = Double.NaN;

    /** For the service loader. */
    public MatFileProvider() {}

    @Override
    public String name() {
        return "mat-file";
    }

    @Override
    public String summary() {
        return "Recorded frames from a MAT-file of level 5";
    }

    @Override
    public String source() {
        return "MAT-File Format, The MathWorks (level 5 MAT-files)";
    }

    @Override
    public MatFileConfig defaults() {
        return new MatFileConfig(
                "", AxisOrder.SAMPLES_LINES_FRAMES, OPEN, OPEN, OPEN, OPEN, OPEN, OPEN, OPEN, OPEN);
    }

    @Override
    public boolean recognises(String location) {
        return Locations.test(location, MatInput::recognises);
    }

    @Override
    public FrameSource open(MatFileConfig config, String location) throws IOException {
        Path path = Locations.file(location);
        try (MatInput input = MatInput.open(path)) {
            ArrayInfo info;
            try {
                info = ArrayChoice.choose(location, config.arrayName(), "rf", input.arrays());
            } catch (IOException | IllegalArgumentException e) {
                if (input.damage().isPresent()) {
                    throw Locations.withDamage(e, input.damage().get());
                }
                throw e;
            }
            StoredArray array = input.array(info.name());
            return Locations.frames(
                    location,
                    config,
                    config.axisOrder().reversed(),
                    array,
                    input::number,
                    input.damage(),
                    () -> {});
        }
    }
}
