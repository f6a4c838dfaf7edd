package org.elasto.recordings;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.util.List;
import org.elasto.recordings.array.ArrayInfo;
import org.elasto.recordings.hdf5.Hdf5Input;
import org.elasto.recordings.mat.MatInput;
import org.elasto.recordings.metaimage.MetaImageHeader;
import org.elasto.recordings.npy.NpyHeader;

/** The arrays in a file, whether they could hold frames or not. Stateless and thread-safe. */
public final class RecordedArrays {

    private RecordedArrays() {}

    /**
     * Lists the arrays of a file.
     *
     * @param path a MAT-file, HDF5, NumPy or MetaImage file
     * @return its arrays; empty for a file of another kind, which says nothing about itself
     * @throws IOException if the file is of one of these kinds but cannot be read
     */
    public static List<ArrayInfo> of(Path path) throws IOException {
        if (Hdf5Input.recognises(path)) {
            try (Hdf5Input input = Hdf5Input.open(path)) {
                return List.copyOf(input.arrays());
            }
        }
        if (MatInput.recognises(path)) {
            try (MatInput input = MatInput.open(path)) {
                return List.copyOf(input.arrays());
            }
        }
        if (NpyHeader.recognises(path)) {
            try (FileChannel channel = FileChannel.open(path)) {
                return List.of(NpyHeader.read(path.toString(), channel).info());
            }
        }
        return MetaImageHeader.recognises(path)
                ? List.of(MetaImageHeader.read(path).info())
                : List.of();
    }
}
