package org.elasto.recordings.source;

import java.io.IOException;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.FrameSourceProvider;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.hdf5.Hdf5Input;

/**
 * Reads frames from HDF5 files, MAT-files of version 7.3 among them (their axes stand in reverse
 * order of MATLAB's indices, see {@link AxisOrder}).
 *
 * <p>Frames are read when they are asked for, so the file may be larger than memory; one frame must
 * fit into it. Chunked (deflate, shuffle, Fletcher checksum, LZF, LZ4, bitshuffle), contiguous and
 * compact data sets are read. A damaged chunk costs the frames that need it; the others stay
 * readable. A chunk that was never written is an error, not silence. Links are not followed.
 */
public final class Hdf5FileProvider implements FrameSourceProvider<Hdf5FileConfig> {

    private static final double OPEN = Double.NaN;

    /** For the service loader. */
    public Hdf5FileProvider() {}

    @Override
    public String name() {
        return "hdf5-file";
    }

    @Override
    public String summary() {
        return "Recorded frames from an HDF5 file, or a MAT-file of version 7.3";
    }

    @Override
    public String source() {
        return "HDF5 File Format Specification Version 3.0, The HDF Group";
    }

    @Override
    public Hdf5FileConfig defaults() {
        return new Hdf5FileConfig(
                "", AxisOrder.FRAMES_LINES_SAMPLES, OPEN, OPEN, OPEN, OPEN, OPEN, OPEN, OPEN, OPEN);
    }

    @Override
    public boolean recognises(String location) {
        return Locations.test(location, Hdf5Input::recognises);
    }

    @Override
    public FrameSource open(Hdf5FileConfig config, String location) throws IOException {
        Hdf5Input input = Hdf5Input.open(Locations.file(location));
        try {
            ArrayInfo info =
                    ArrayChoice.choose(location, config.arrayName(), "/rf", input.arrays());
            return Locations.frames(
                    location,
                    config,
                    config.axisOrder(),
                    input.array(info.name()),
                    name -> input.number(info.name(), name),
                    input.damage(),
                    input);
        } catch (IOException | IllegalArgumentException e) {
            input.close();
            if (input.damage().isPresent()) {
                throw Locations.withDamage(e, input.damage().get());
            }
            throw e;
        }
    }
}
