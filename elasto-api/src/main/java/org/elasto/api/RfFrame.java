package org.elasto.api;

import java.nio.ShortBuffer;
import java.util.Objects;

/**
 * One frame of raw radio-frequency echoes: samples line after line, with an index and a time stamp.
 *
 * <p>A frame is a view of the caller's own memory, a {@code float[]}, a {@code short[]} or a {@link
 * ShortBuffer} (direct ones too): no samples are copied when it is made. Readers fetch a line at a
 * time with {@link #readLine}, which converts to float on the way. The owner may refill the memory
 * and {@linkplain #stamp stamp} the frame anew, as long as no reader is at work on it.
 *
 * <p>Samples may be NaN or infinite where the source has nothing; readers must treat them as
 * unknown. Reading from several threads is safe while nobody writes.
 */
public abstract sealed class RfFrame {

    private final ScanGeometry geometry;
    private final SampleType sampleType;
    private long index;
    private long timeNanos;

    private RfFrame(ScanGeometry geometry, SampleType sampleType) {
        this.geometry = Objects.requireNonNull(geometry, "geometry is missing");
        this.sampleType = sampleType;
    }

    /**
     * A frame over densely packed floats.
     *
     * @param geometry where the samples lie
     * @param samples the samples, line after line; kept, not copied
     * @return the frame, with index 0 and time 0
     * @throws IllegalArgumentException if the array is too short
     */
    public static RfFrame of(ScanGeometry geometry, float[] samples) {
        return of(geometry, samples, 0, perLine(geometry));
    }

    /**
     * A frame over floats with a margin and padded lines.
     *
     * @param geometry where the samples lie
     * @param samples the samples; kept, not copied
     * @param offset index of the first sample of line 0
     * @param lineStride distance from the start of a line to the start of the next
     * @return the frame, with index 0 and time 0
     * @throws IllegalArgumentException if the lines do not fit into the array
     */
    public static RfFrame of(ScanGeometry geometry, float[] samples, int offset, int lineStride) {
        return new FloatFrame(geometry, samples, offset, lineStride);
    }

    /**
     * A frame over densely packed 16-bit integers.
     *
     * @param geometry where the samples lie
     * @param samples the samples, line after line; kept, not copied
     * @return the frame, with index 0 and time 0
     * @throws IllegalArgumentException if the array is too short
     */
    public static RfFrame of(ScanGeometry geometry, short[] samples) {
        return of(geometry, samples, 0, perLine(geometry));
    }

    /**
     * A frame over 16-bit integers with a margin and padded lines.
     *
     * @param geometry where the samples lie
     * @param samples the samples; kept, not copied
     * @param offset index of the first sample of line 0
     * @param lineStride distance from the start of a line to the start of the next
     * @return the frame, with index 0 and time 0
     * @throws IllegalArgumentException if the lines do not fit into the array
     */
    public static RfFrame of(ScanGeometry geometry, short[] samples, int offset, int lineStride) {
        return new ShortFrame(geometry, samples, offset, lineStride);
    }

    /**
     * A frame over a buffer of 16-bit integers, such as the memory an acquisition card writes to.
     * Positions are absolute: the buffer's own position and limit are neither used nor changed. Its
     * byte order is respected; one made from a {@link java.nio.ByteBuffer} has the order which that
     * had at that time, and that is big-endian unless set. Lines cannot be written into a read-only
     * buffer ({@link java.nio.ReadOnlyBufferException}).
     *
     * @param geometry where the samples lie
     * @param samples the samples; kept, not copied
     * @param offset index of the first sample of line 0
     * @param lineStride distance from the start of a line to the start of the next
     * @return the frame, with index 0 and time 0
     * @throws IllegalArgumentException if the lines do not fit into the buffer
     */
    public static RfFrame of(
            ScanGeometry geometry, ShortBuffer samples, int offset, int lineStride) {
        return new ShortBufferFrame(geometry, samples, offset, lineStride);
    }

    /**
     * A frame with memory of its own.
     *
     * @param geometry where the samples lie
     * @param sampleType how to store them; not null
     * @return the frame, all zero, with index 0 and time 0
     */
    public static RfFrame allocate(ScanGeometry geometry, SampleType sampleType) {
        int size = geometry.lines() * geometry.samples();
        return switch (sampleType) {
            case FLOAT32 -> of(geometry, new float[size]);
            case INT16 -> of(geometry, new short[size]);
        };
    }

    /**
     * Where the samples lie.
     *
     * @return the geometry
     */
    public final ScanGeometry geometry() {
        return geometry;
    }

    /**
     * How the samples are stored.
     *
     * @return the type
     */
    public final SampleType sampleType() {
        return sampleType;
    }

    /**
     * Number of the frame in its stream.
     *
     * @return the index, as stamped by the owner
     */
    public final long index() {
        return index;
    }

    /**
     * When the frame was acquired.
     *
     * @return time (ns) on the source's own clock, as stamped by the owner
     */
    public final long timeNanos() {
        return timeNanos;
    }

    /**
     * Gives the frame a new index and time, after its owner has refilled it.
     *
     * @param newIndex number in the stream
     * @param newTimeNanos time (ns)
     * @return this frame
     */
    public final RfFrame stamp(long newIndex, long newTimeNanos) {
        index = newIndex;
        timeNanos = newTimeNanos;
        return this;
    }

    /**
     * The absolute value at which the acquisition clips.
     *
     * @return 32767 for 16-bit samples (-32768 clips as well), infinity for floats, whose full
     *     scale is not known
     */
    public final float clippingLevel() {
        return sampleType == SampleType.INT16 ? 32767f : Float.POSITIVE_INFINITY;
    }

    /**
     * Copies one whole line into the caller's array, converted to float.
     *
     * @param line line number, from 0
     * @param target receives the samples
     * @param targetOffset where in the target the first sample goes
     * @throws IndexOutOfBoundsException if the line does not exist or the target is too short
     */
    public abstract void readLine(int line, float[] target, int targetOffset);

    /**
     * Copies one whole line of 16-bit integers into the caller's array, as it is.
     *
     * @param line line number, from 0
     * @param target receives the samples
     * @param targetOffset where in the target the first sample goes
     * @throws IllegalStateException if the frame stores floats, which would lose precision
     * @throws IndexOutOfBoundsException if the line does not exist or the target is too short
     */
    public abstract void readLine(int line, short[] target, int targetOffset);

    /**
     * Copies every so many-th sample of a line into the caller's array, converted to float: for
     * readers that filter and thin out, quicker than the whole line first.
     *
     * @param line line number, from 0
     * @param first number of the first sample that is copied, from 0
     * @param step distance from one copied sample to the next, at least 1
     * @param count how many are copied; 0 or fewer copy nothing
     * @param target receives the samples, one after the other
     * @param targetOffset where in the target the first one goes
     * @throws IndexOutOfBoundsException if the line or a sample does not exist or the target is too
     *     short; then nothing has been written
     */
    public abstract void readSamples(
            int line, int first, int step, int count, float[] target, int targetOffset);

    /**
     * Overwrites one whole line with 16-bit integers.
     *
     * @param line line number, from 0
     * @param source the new samples
     * @param sourceOffset where in the source the first sample stands
     * @throws IndexOutOfBoundsException if the line does not exist or the source is too short
     */
    public abstract void writeLine(int line, short[] source, int sourceOffset);

    /**
     * Overwrites one whole line with floats.
     *
     * @param line line number, from 0
     * @param source the new samples
     * @param sourceOffset where in the source the first sample stands
     * @throws IllegalStateException if the frame stores 16-bit integers, which would lose precision
     * @throws IndexOutOfBoundsException if the line does not exist or the source is too short
     */
    public abstract void writeLine(int line, float[] source, int sourceOffset);

    /**
     * Copies all samples, the index and the time stamp of another frame into this one.
     *
     * @param source the frame to copy; not modified
     * @throws IllegalArgumentException if the geometry is another, with both
     * @throws IllegalStateException if this frame stores 16-bit integers and the source floats,
     *     which would lose precision
     */
    public final void copyFrom(RfFrame source) {
        copyLines(source, 0, geometry.lines());
        stamp(source.index, source.timeNanos);
    }

    /**
     * Copies all samples of some lines of another frame into this one. Several threads may copy
     * different lines at the same time.
     *
     * @param source the frame to copy from; not modified
     * @param first the first line
     * @param count number of lines
     * @throws IllegalArgumentException if the geometry is another, with both
     * @throws IllegalStateException if this frame stores 16-bit integers and the source floats,
     *     which would lose precision
     * @throws IndexOutOfBoundsException if a line does not exist; then nothing has been copied
     */
    public final void copyLines(RfFrame source, int first, int count) {
        Check.same("geometry of the frame", source.geometry, geometry);
        if (sampleType == SampleType.INT16 && source.sampleType == SampleType.FLOAT32) {
            throw floatsIntoIntegers();
        }
        Objects.checkFromIndexSize(first, count, geometry.lines());
        for (int line = first; line < first + count; line++) {
            source.copyLineInto(this, line);
        }
    }

    /** Hands a line, as it is stored, to another frame that can store it. */
    abstract void copyLineInto(RfFrame target, int line);

    private void checkLine(int line) {
        if (line < 0 || line >= geometry.lines()) {
            throw new IndexOutOfBoundsException(
                    "line "
                            + line
                            + " does not exist; the frame has lines 0 to "
                            + (geometry.lines() - 1));
        }
    }

    final void checkLine(int line, int arrayLength, int arrayOffset) {
        checkLine(line);
        int samples = geometry.samples();
        if (arrayOffset < 0 || arrayOffset > arrayLength - samples) {
            throw new IndexOutOfBoundsException(
                    "a line of "
                            + samples
                            + " samples does not fit at offset "
                            + arrayOffset
                            + " into an array of "
                            + arrayLength);
        }
    }

    final void checkSamples(
            int line, int first, int step, int count, int arrayLength, int arrayOffset) {
        checkLine(line);
        if (step < 1) {
            throw new IndexOutOfBoundsException("step is " + step + "; it must be at least 1");
        }
        if (count > 0) {
            long last = first + (count - 1L) * step;
            if (first < 0 || last >= geometry.samples()) {
                throw new IndexOutOfBoundsException(
                        "samples "
                                + first
                                + " to "
                                + last
                                + " do not all exist; a line has samples 0 to "
                                + (geometry.samples() - 1));
            }
            Objects.checkFromIndexSize(arrayOffset, count, arrayLength);
        }
    }

    private static int perLine(ScanGeometry geometry) {
        return Objects.requireNonNull(geometry, "geometry is missing").samples();
    }

    private static IllegalStateException floatsIntoIntegers() {
        return new IllegalStateException(
                "floats written into a frame of INT16 samples would be rounded;"
                        + " allocate the frame as FLOAT32");
    }

    private static IllegalStateException floatsReadAsIntegers() {
        return new IllegalStateException(
                "floats read as 16-bit integers would be rounded;"
                        + " read the lines of a FLOAT32 frame into floats");
    }

    private static final class FloatFrame extends RfFrame {
        private final float[] samples;
        private final int offset;
        private final int stride;

        FloatFrame(ScanGeometry geometry, float[] samples, int offset, int stride) {
            super(geometry, SampleType.FLOAT32);
            Objects.requireNonNull(samples, "RF samples are missing");
            Check.layout(
                    "RF samples",
                    samples.length,
                    offset,
                    geometry.lines(),
                    stride,
                    geometry.samples());
            this.samples = samples;
            this.offset = offset;
            this.stride = stride;
        }

        @Override
        public void readLine(int line, float[] target, int targetOffset) {
            checkLine(line, target.length, targetOffset);
            System.arraycopy(
                    samples, offset + line * stride, target, targetOffset, geometry().samples());
        }

        @Override
        public void readLine(int line, short[] target, int targetOffset) {
            throw floatsReadAsIntegers();
        }

        @Override
        public void readSamples(
                int line, int first, int step, int count, float[] target, int targetOffset) {
            checkSamples(line, first, step, count, target.length, targetOffset);
            float[] from = samples;
            int at = offset + line * stride + first;
            for (int i = 0; i < count; i++) {
                target[targetOffset + i] = from[at + i * step];
            }
        }

        @Override
        public void writeLine(int line, short[] source, int sourceOffset) {
            checkLine(line, source.length, sourceOffset);
            int to = offset + line * stride;
            for (int i = 0, n = geometry().samples(); i < n; i++) {
                samples[to + i] = source[sourceOffset + i];
            }
        }

        @Override
        public void writeLine(int line, float[] source, int sourceOffset) {
            checkLine(line, source.length, sourceOffset);
            System.arraycopy(
                    source, sourceOffset, samples, offset + line * stride, geometry().samples());
        }

        @Override
        void copyLineInto(RfFrame target, int line) {
            target.writeLine(line, samples, offset + line * stride);
        }
    }

    private static final class ShortFrame extends RfFrame {
        private final short[] samples;
        private final int offset;
        private final int stride;

        ShortFrame(ScanGeometry geometry, short[] samples, int offset, int stride) {
            super(geometry, SampleType.INT16);
            Objects.requireNonNull(samples, "RF samples are missing");
            Check.layout(
                    "RF samples",
                    samples.length,
                    offset,
                    geometry.lines(),
                    stride,
                    geometry.samples());
            this.samples = samples;
            this.offset = offset;
            this.stride = stride;
        }

        @Override
        public void readLine(int line, float[] target, int targetOffset) {
            checkLine(line, target.length, targetOffset);
            short[] from = samples;
            int start = offset + line * stride;
            for (int i = 0, n = geometry().samples(); i < n; i++) {
                target[targetOffset + i] = from[start + i];
            }
        }

        @Override
        public void readLine(int line, short[] target, int targetOffset) {
            checkLine(line, target.length, targetOffset);
            System.arraycopy(
                    samples, offset + line * stride, target, targetOffset, geometry().samples());
        }

        @Override
        public void readSamples(
                int line, int first, int step, int count, float[] target, int targetOffset) {
            checkSamples(line, first, step, count, target.length, targetOffset);
            int at = offset + line * stride + first;
            // Compiled for a known step, the loop is quicker.
            switch (step) {
                case 2 -> read(at, 2, count, target, targetOffset);
                case 3 -> read(at, 3, count, target, targetOffset);
                case 4 -> read(at, 4, count, target, targetOffset);
                case 5 -> read(at, 5, count, target, targetOffset);
                case 6 -> read(at, 6, count, target, targetOffset);
                case 7 -> read(at, 7, count, target, targetOffset);
                case 8 -> read(at, 8, count, target, targetOffset);
                default -> read(at, step, count, target, targetOffset);
            }
        }

        /**
         * Eight at a time: HotSpot 17 then checks the bounds of both arrays a few times for all of
         * them, and not each time, as it does where the step is no power of two.
         */
        private void read(int at, int step, int count, float[] target, int targetOffset) {
            short[] from = samples;
            int i = 0;
            for (; i < count - 7; i += 8) {
                int k = at + i * step;
                int t = targetOffset + i;
                target[t] = from[k];
                target[t + 1] = from[k + step];
                target[t + 2] = from[k + 2 * step];
                target[t + 3] = from[k + 3 * step];
                target[t + 4] = from[k + 4 * step];
                target[t + 5] = from[k + 5 * step];
                target[t + 6] = from[k + 6 * step];
                target[t + 7] = from[k + 7 * step];
            }
            for (; i < count; i++) {
                target[targetOffset + i] = from[at + i * step];
            }
        }

        @Override
        public void writeLine(int line, short[] source, int sourceOffset) {
            checkLine(line, source.length, sourceOffset);
            System.arraycopy(
                    source, sourceOffset, samples, offset + line * stride, geometry().samples());
        }

        @Override
        public void writeLine(int line, float[] source, int sourceOffset) {
            throw floatsIntoIntegers();
        }

        @Override
        void copyLineInto(RfFrame target, int line) {
            target.writeLine(line, samples, offset + line * stride);
        }
    }

    private static final class ShortBufferFrame extends RfFrame {
        private final ShortBuffer samples;
        private final int offset;
        private final int stride;

        ShortBufferFrame(ScanGeometry geometry, ShortBuffer samples, int offset, int stride) {
            super(geometry, SampleType.INT16);
            Objects.requireNonNull(samples, "RF samples are missing");
            Check.layout(
                    "RF samples",
                    samples.capacity(),
                    offset,
                    geometry.lines(),
                    stride,
                    geometry.samples());
            // A duplicate shares the memory but not the caller's position and limit.
            ShortBuffer own = samples.duplicate();
            own.clear();
            this.samples = own;
            this.offset = offset;
            this.stride = stride;
        }

        @Override
        public void readLine(int line, float[] target, int targetOffset) {
            checkLine(line, target.length, targetOffset);
            ShortBuffer from = samples;
            int start = offset + line * stride;
            for (int i = 0, n = geometry().samples(); i < n; i++) {
                target[targetOffset + i] = from.get(start + i);
            }
        }

        @Override
        public void readLine(int line, short[] target, int targetOffset) {
            checkLine(line, target.length, targetOffset);
            samples.get(offset + line * stride, target, targetOffset, geometry().samples());
        }

        @Override
        public void readSamples(
                int line, int first, int step, int count, float[] target, int targetOffset) {
            checkSamples(line, first, step, count, target.length, targetOffset);
            ShortBuffer from = samples;
            int at = offset + line * stride + first;
            for (int i = 0; i < count; i++) {
                target[targetOffset + i] = from.get(at + i * step);
            }
        }

        @Override
        public void writeLine(int line, short[] source, int sourceOffset) {
            checkLine(line, source.length, sourceOffset);
            samples.put(offset + line * stride, source, sourceOffset, geometry().samples());
        }

        @Override
        public void writeLine(int line, float[] source, int sourceOffset) {
            throw floatsIntoIntegers();
        }

        @Override
        void copyLineInto(RfFrame target, int line) {
            int from = offset + line * stride;
            int n = geometry().samples();
            if (target instanceof ShortFrame frame) {
                samples.get(from, frame.samples, frame.offset + line * frame.stride, n);
            } else if (target instanceof ShortBufferFrame frame) {
                frame.samples.put(frame.offset + line * frame.stride, samples, from, n);
            } else {
                FloatFrame frame = (FloatFrame) target;
                readLine(line, frame.samples, frame.offset + line * frame.stride);
            }
        }
    }
}
