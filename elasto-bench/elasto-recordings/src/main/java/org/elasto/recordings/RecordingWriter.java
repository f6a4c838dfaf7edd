package org.elasto.recordings;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Path;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.FrameSource;
import org.elasto.recordings.array.ScanNames;
import org.elasto.recordings.hdf5.Filler;
import org.elasto.recordings.hdf5.Hdf5Output;

/**
 * Writes the frames of a source as an HDF5 recording that the frame source {@code hdf5-file} reads
 * without any parameter.
 *
 * <p>The data set {@code /rf} is frames x lines x samples, 16-bit integers or 32-bit floats,
 * contiguous and uncompressed, with the scan parameters as its attributes. One frame at a time is
 * in memory. The file grows under a temporary name in the same folder and is moved into place when
 * it is complete; if anything fails, nothing is left behind.
 *
 * <p>Stateless and thread-safe.
 */
public final class RecordingWriter {

    private RecordingWriter() {}

    /**
     * Writes all frames of a source.
     *
     * @param target the file; replaced if it exists
     * @param source the frames, read in order; stays open
     * @throws IOException if a frame cannot be read, or the file cannot be written
     */
    public static void write(Path target, FrameSource source) throws IOException {
        ScanGeometry geometry = source.geometry();
        boolean whole = source.sampleType() == SampleType.INT16;
        Hdf5Output output = new Hdf5Output(target);
        output.stream(
                "rf",
                whole ? short.class : float.class,
                new int[] {source.frameCount(), geometry.lines(), geometry.samples()},
                ScanNames.parameters(geometry),
                sink -> writeFrames(source, whole, sink));
        output.write();
    }

    private static void writeFrames(FrameSource source, boolean whole, Filler.Sink sink)
            throws IOException {
        int lines = source.geometry().lines();
        int samples = source.geometry().samples();
        RfFrame frame = source.newFrame();
        float[] line = new float[samples];
        ByteBuffer bytes =
                ByteBuffer.allocate(samples * (whole ? Short.BYTES : Float.BYTES))
                        .order(ByteOrder.nativeOrder());
        for (int i = 0; i < source.frameCount(); i++) {
            source.read(i, frame);
            for (int l = 0; l < lines; l++) {
                frame.readLine(l, line, 0);
                bytes.clear();
                for (float sample : line) {
                    if (whole) {
                        bytes.putShort((short) sample); // exact: the frame stores 16-bit integers
                    } else {
                        bytes.putFloat(sample);
                    }
                }
                sink.write(bytes.flip());
            }
        }
    }
}
