package org.elasto.recordings.source;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.util.Objects;
import java.util.Optional;
import org.elasto.api.Check;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.FrameSource;
import org.elasto.recordings.array.StoredArray;

/** Frames out of an array of a file; what all file sources have in common. */
final class ArrayFrameSource implements FrameSource {

    private final String name;
    private final StoredArray array;
    private final Closeable resource;
    private final int frameAxis;
    private final boolean linesFirst;
    private final ScanGeometry geometry;
    private final int frames;
    private final String damage;
    private final ByteBuffer bytes;
    private final short[] shorts;
    private final float[] floats;

    /**
     * A source.
     *
     * @param name what is shown of it
     * @param array the samples
     * @param resource what is closed with the source
     * @param order order of the axes, from the slowest to the fastest varying
     * @param geometry geometry of the frames
     * @param frames number of frames that can be read
     * @param damage what is wrong with the file, or null
     * @throws IOException if a frame does not fit into memory
     */
    ArrayFrameSource(
            String name,
            StoredArray array,
            Closeable resource,
            AxisOrder order,
            ScanGeometry geometry,
            int frames,
            String damage)
            throws IOException {
        this.name = name;
        this.array = array;
        this.resource = resource;
        this.frameAxis = order.frameAxis(array.rank());
        this.linesFirst = order.linesBeforeSamples();
        this.geometry = geometry;
        this.frames = frames;
        this.damage = damage;
        this.bytes = array.newBuffer(frameAxis);
        boolean whole = sampleType() == SampleType.INT16;
        this.shorts = new short[whole ? geometry.samples() : 0];
        this.floats = new float[whole ? 0 : geometry.samples()];
    }

    @Override
    public String name() {
        return name;
    }

    @Override
    public ScanGeometry geometry() {
        return geometry;
    }

    @Override
    public SampleType sampleType() {
        return array.type().sampleType();
    }

    @Override
    public int frameCount() {
        return frames;
    }

    @Override
    public Optional<String> damage() {
        return Optional.ofNullable(damage);
    }

    @Override
    public void read(int index, RfFrame into) throws IOException {
        Objects.checkIndex(index, frames);
        Check.same("geometry of the frame to read into", into.geometry(), geometry);
        if (sampleType() == SampleType.FLOAT32) {
            Check.same("sample type of the frame to read into", into.sampleType(), sampleType());
        }
        bytes.clear();
        array.readSlab(frameAxis, index, bytes);
        int lines = geometry.lines();
        int samples = geometry.samples();
        for (int line = 0; line < lines; line++) {
            int first = linesFirst ? line * samples : line;
            int stride = linesFirst ? 1 : lines;
            if (sampleType() == SampleType.INT16) {
                array.type().toShorts(bytes, first, stride, shorts, samples);
                into.writeLine(line, shorts, 0);
            } else {
                array.type().toFloats(bytes, first, stride, floats, samples);
                into.writeLine(line, floats, 0);
            }
        }
        into.stamp(index, timeNanos(index));
    }

    /** Frames are evenly spaced in time; without a frame rate nothing is known of it. */
    private long timeNanos(int index) {
        double rate = geometry.frameRate();
        return Double.isNaN(rate) ? 0 : Math.round(index / rate * 1e9);
    }

    @Override
    public void close() throws IOException {
        resource.close();
    }
}
