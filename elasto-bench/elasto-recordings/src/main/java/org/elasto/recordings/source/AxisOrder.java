package org.elasto.recordings.source;

/**
 * Order of the axes of a recorded array, as its indices are written in the file's own language.
 *
 * <ul>
 *   <li>MAT-file (level 5): as MATLAB writes {@code size(rf)} and {@code rf(sample, line, frame)};
 *       the <em>first</em> index varies fastest in the file.
 *   <li>HDF5 file: as the shape of the data set is written, for example by h5py; the <em>last</em>
 *       index varies fastest. This holds for MAT-files of version 7.3 as well, which are HDF5 files
 *       whose axes stand in reverse order: {@code rf(sample, line, frame)} of MATLAB is stored as
 *       frames x lines x samples.
 *   <li>NumPy file: as NumPy writes the {@code shape}, whether the array is stored in C or in
 *       Fortran order.
 *   <li>MetaImage file: as its {@code DimSize} lists them; the <em>first</em> varies fastest.
 *   <li>Raw file: from the slowest to the fastest varying.
 * </ul>
 *
 * <p>An array of two axes is a single frame; its axes are lines and samples in the order they have
 * here.
 */
public enum AxisOrder {
    /** Frames, lines, samples. */
    FRAMES_LINES_SAMPLES(0, 1, 2),
    /** Frames, samples, lines. */
    FRAMES_SAMPLES_LINES(0, 2, 1),
    /** Lines, frames, samples. */
    LINES_FRAMES_SAMPLES(1, 0, 2),
    /** Lines, samples, frames. */
    LINES_SAMPLES_FRAMES(2, 0, 1),
    /** Samples, frames, lines. */
    SAMPLES_FRAMES_LINES(1, 2, 0),
    /** Samples, lines, frames. */
    SAMPLES_LINES_FRAMES(2, 1, 0);

    private final int frameAxis;
    private final int lineAxis;
    private final int sampleAxis;

    AxisOrder(int frameAxis, int lineAxis, int sampleAxis) {
        this.frameAxis = frameAxis;
        this.lineAxis = lineAxis;
        this.sampleAxis = sampleAxis;
    }

    /**
     * The axis of the frames.
     *
     * @param rank number of axes of the array, 2 or 3
     * @return axis number, or -1 for an array of two axes
     */
    int frameAxis(int rank) {
        return rank == 3 ? frameAxis : -1;
    }

    /**
     * The axis of the lines.
     *
     * @param rank number of axes of the array, 2 or 3
     * @return axis number
     */
    int lineAxis(int rank) {
        return rank == 3 ? lineAxis : linesBeforeSamples() ? 0 : 1;
    }

    /**
     * The axis of the samples.
     *
     * @param rank number of axes of the array, 2 or 3
     * @return axis number
     */
    int sampleAxis(int rank) {
        return rank == 3 ? sampleAxis : linesBeforeSamples() ? 1 : 0;
    }

    boolean linesBeforeSamples() {
        return lineAxis < sampleAxis;
    }

    /**
     * The same axes counted from the other end.
     *
     * @return the order with first and last exchanged
     */
    AxisOrder reversed() {
        for (AxisOrder order : values()) {
            if (order.frameAxis == 2 - frameAxis && order.lineAxis == 2 - lineAxis) {
                return order;
            }
        }
        throw new AssertionError(this);
    }
}
