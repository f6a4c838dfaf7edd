package org.elasto.api.plugin;

import java.io.IOException;
import java.util.Optional;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;

/**
 * Where RF frames come from: a recording, a phantom, a device. Frames are read in any order. Used
 * by one thread at a time.
 */
public interface FrameSource extends AutoCloseable {

    /**
     * What is shown of the source: a file name, a scene.
     *
     * @return the name
     */
    String name();

    /**
     * Geometry of every frame.
     *
     * @return the geometry
     */
    ScanGeometry geometry();

    /**
     * How the samples are stored.
     *
     * @return type of the frames that {@link #newFrame} makes
     */
    SampleType sampleType();

    /**
     * Number of frames that can be read. For a damaged file: those before the damage.
     *
     * @return the number, 0 or more
     */
    int frameCount();

    /**
     * What is wrong with the source as a whole, where something is: a file that ends early, a part
     * that cannot be read. Frames that can be read are right all the same.
     *
     * @return what was expected and found, and where; empty if nothing is known to be wrong
     */
    default Optional<String> damage() {
        return Optional.empty();
    }

    /**
     * Reads one frame into a frame that the caller owns and may use again.
     *
     * @param index frame number, from 0
     * @param into receives samples, index and time stamp; made by {@link #newFrame} or alike
     * @throws IOException if the frame cannot be read, naming the source, what was expected and
     *     found, and where
     * @throws IndexOutOfBoundsException if there is no such frame
     * @throws IllegalArgumentException if the frame's geometry is another
     */
    void read(int index, RfFrame into) throws IOException;

    /**
     * Memory for one frame.
     *
     * @return a new frame
     */
    default RfFrame newFrame() {
        return RfFrame.allocate(geometry(), sampleType());
    }

    /**
     * Reads one frame into new memory.
     *
     * @param index frame number, from 0
     * @return the frame
     * @throws IOException as {@link #read(int, RfFrame)}
     */
    default RfFrame read(int index) throws IOException {
        RfFrame frame = newFrame();
        read(index, frame);
        return frame;
    }

    /**
     * Gives back what the source holds open.
     *
     * @throws IOException if that fails
     */
    @Override
    void close() throws IOException;
}
