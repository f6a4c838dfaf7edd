package org.elasto.api;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.ReadOnlyBufferException;
import java.nio.ShortBuffer;
import java.util.Arrays;
import java.util.Random;
import java.util.function.IntFunction;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class RfFrameTest {

    /** The kinds of memory a frame can look at. */
    enum Memory {
        FLOATS,
        SHORTS,
        HEAP_BUFFER,
        DIRECT_BUFFER,
        SWAPPED_BUFFER
    }

    private static ScanGeometry geometry(int lines, int samples) {
        return ScanGeometry.linear(lines, samples, 40e6, 5e6, 1540, 0, 3e-4, 50);
    }

    private static RfFrame frame(
            Memory memory, ScanGeometry geometry, short[] values, int offset, int stride) {
        IntFunction<ShortBuffer> bytes =
                n -> ByteBuffer.allocate(2 * n).order(ByteOrder.LITTLE_ENDIAN).asShortBuffer();
        return switch (memory) {
            case FLOATS -> {
                float[] floats = new float[values.length];
                for (int i = 0; i < floats.length; i++) {
                    floats[i] = values[i];
                }
                yield RfFrame.of(geometry, floats, offset, stride);
            }
            case SHORTS -> RfFrame.of(geometry, values.clone(), offset, stride);
            case HEAP_BUFFER ->
                    RfFrame.of(geometry, ShortBuffer.wrap(values.clone()), offset, stride);
            case DIRECT_BUFFER ->
                    buffered(
                            geometry,
                            ByteBuffer.allocateDirect(2 * values.length)
                                    .order(ByteOrder.nativeOrder())
                                    .asShortBuffer(),
                            values,
                            offset,
                            stride);
            case SWAPPED_BUFFER ->
                    buffered(geometry, bytes.apply(values.length), values, offset, stride);
        };
    }

    private static RfFrame buffered(
            ScanGeometry geometry, ShortBuffer buffer, short[] values, int offset, int stride) {
        buffer.put(values);
        // Wherever the caller's position and limit stand, they are none of the frame's business.
        buffer.position(values.length / 3).limit(values.length / 2);
        RfFrame frame = RfFrame.of(geometry, buffer, offset, stride);
        assertEquals(values.length / 3, buffer.position());
        assertEquals(values.length / 2, buffer.limit());
        return frame;
    }

    private static short[] noise(int n, long seed) {
        Random random = new Random(seed);
        short[] values = new short[n];
        for (int i = 0; i < n; i++) {
            values[i] = (short) random.nextInt();
        }
        return values;
    }

    /** Every kind of memory, margin and padding, against plain indexing. */
    @Property(seed = "1", tries = 200)
    void readsAndWritesTheRightSamples(
            @ForAll Memory memory,
            @ForAll @IntRange(min = 1, max = 6) int lines,
            @ForAll @IntRange(min = 1, max = 20) int samples,
            @ForAll @IntRange(min = 0, max = 7) int offset,
            @ForAll @IntRange(min = 0, max = 9) int padding,
            @ForAll @IntRange(min = 0, max = 5) int tail,
            @ForAll @IntRange(min = 0, max = 4) int targetOffset) {
        int stride = samples + padding;
        short[] values =
                noise(offset + (lines - 1) * stride + samples + tail, lines + 31L * samples);
        RfFrame frame = frame(memory, geometry(lines, samples), values, offset, stride);
        checkAllLines(frame, values, offset, stride, targetOffset);

        // One line rewritten: it changes, and nothing else does.
        int changed = lines / 2;
        short[] fresh = noise(targetOffset + samples, 7);
        frame.writeLine(changed, fresh, targetOffset);
        System.arraycopy(fresh, targetOffset, values, offset + changed * stride, samples);
        checkAllLines(frame, values, offset, stride, targetOffset);
    }

    private static void checkAllLines(
            RfFrame frame, short[] values, int offset, int stride, int targetOffset) {
        int samples = frame.geometry().samples();
        for (int line = 0; line < frame.geometry().lines(); line++) {
            float[] expected = new float[targetOffset + samples + 2];
            Arrays.fill(expected, -0.25f);
            float[] actual = expected.clone();
            for (int i = 0; i < samples; i++) {
                expected[targetOffset + i] = values[offset + line * stride + i];
            }
            frame.readLine(line, actual, targetOffset);
            assertArrayEquals(expected, actual, "line " + line);
            if (frame.sampleType() == SampleType.INT16) {
                short[] whole = new short[actual.length];
                frame.readLine(line, whole, targetOffset);
                for (int i = 0; i < whole.length; i++) {
                    boolean inside = i >= targetOffset && i < targetOffset + samples;
                    assertEquals(inside ? expected[i] : 0, whole[i], "line " + line);
                }
            }
        }
    }

    /** Every so many-th sample, from any to any, is what the whole line has there. */
    @Property(seed = "21", tries = 100)
    void everySoManyth(
            @ForAll Memory memory,
            @ForAll @IntRange(min = 1, max = 90) int samples,
            @ForAll @IntRange(min = 1, max = 9) int step,
            @ForAll @IntRange(min = 0, max = 39) int first,
            @ForAll @IntRange(min = 0, max = 5) int targetOffset) {
        int stride = samples + 3;
        RfFrame frame =
                frame(memory, geometry(2, samples), noise(2 + 2 * stride, samples), 2, stride);
        float[] line = new float[samples];
        frame.readLine(1, line, 0);
        int most = first < samples ? (samples - 1 - first) / step + 1 : 0;
        for (int count = 0; count <= most; count++) {
            float[] expected = new float[targetOffset + count + 1];
            Arrays.fill(expected, -0.25f);
            float[] actual = expected.clone();
            for (int i = 0; i < count; i++) {
                expected[targetOffset + i] = line[first + i * step];
            }
            frame.readSamples(1, first, step, count, actual, targetOffset);
            assertArrayEquals(expected, actual);
        }
        float[] room = new float[100];
        outOfBounds(
                "do not all exist; a line has samples 0 to " + (samples - 1),
                () -> frame.readSamples(1, first, step, most + 1, room, 0));
        assertArrayEquals(new float[100], room);
    }

    @ParameterizedTest
    @EnumSource(Memory.class)
    void samplesAndRoomThatAreNotThereAreRefused(Memory memory) {
        RfFrame frame = frame(memory, geometry(3, 10), new short[30], 0, 10);
        float[] room = new float[4];
        outOfBounds("line 3 does not exist", () -> frame.readSamples(3, 0, 2, 4, room, 0));
        outOfBounds("samples -1 to 5", () -> frame.readSamples(0, -1, 2, 4, room, 0));
        outOfBounds("samples 9 to 10", () -> frame.readSamples(0, 9, 1, 2, room, 0));
        outOfBounds("samples 1 to 4294967295", () -> overflowing(frame, room));
        outOfBounds("step is 0", () -> frame.readSamples(0, 0, 0, 4, room, 0));
        outOfBounds("length 4", () -> frame.readSamples(0, 0, 2, 4, room, 1));
        outOfBounds("length 4", () -> frame.readSamples(0, 0, 2, 4, room, -1));
        frame.readSamples(0, 99, 2, 0, room, 99);
    }

    private static void overflowing(RfFrame frame, float[] room) {
        frame.readSamples(0, 1, Integer.MAX_VALUE, 3, room, 0);
    }

    @Test
    void memoryIsSharedNotCopied() {
        ScanGeometry g = geometry(2, 3);
        float[] floats = new float[6];
        short[] shorts = new short[6];
        ShortBuffer buffer = ByteBuffer.allocateDirect(12).asShortBuffer();
        RfFrame a = RfFrame.of(g, floats);
        RfFrame b = RfFrame.of(g, shorts);
        RfFrame c = RfFrame.of(g, buffer, 0, 3);
        floats[4] = 1.5f;
        shorts[4] = 15;
        buffer.put(4, (short) 150);
        float[] line = new float[3];
        a.readLine(1, line, 0);
        assertEquals(1.5f, line[1]);
        b.readLine(1, line, 0);
        assertEquals(15f, line[1]);
        c.readLine(1, line, 0);
        assertEquals(150f, line[1]);

        short[] fresh = {7, 8, 9};
        a.writeLine(0, fresh, 0);
        b.writeLine(0, fresh, 0);
        c.writeLine(0, fresh, 0);
        assertEquals(8f, floats[1]);
        assertEquals(8, shorts[1]);
        assertEquals(8, buffer.get(1));
    }

    @Test
    void floatsGoInAndOutUnchanged() {
        RfFrame frame = RfFrame.allocate(geometry(2, 3), SampleType.FLOAT32);
        float[] source = {9, Float.NaN, Float.NEGATIVE_INFINITY, 1e-30f};
        frame.writeLine(1, source, 1);
        float[] line = new float[3];
        frame.readLine(1, line, 0);
        assertArrayEquals(new float[] {Float.NaN, Float.NEGATIVE_INFINITY, 1e-30f}, line);
        frame.readLine(0, line, 0);
        assertArrayEquals(new float[3], line);
    }

    @Test
    void floatsIntoIntegersAreRefused() {
        for (Memory memory : Memory.values()) {
            RfFrame frame = frame(memory, geometry(2, 3), new short[6], 0, 3);
            if (frame.sampleType() == SampleType.INT16) {
                String message =
                        assertThrows(
                                        IllegalStateException.class,
                                        () -> frame.writeLine(0, new float[3], 0))
                                .getMessage();
                assertTrue(message.contains("FLOAT32"), message);
            } else {
                assertEquals(Memory.FLOATS, memory);
            }
        }
    }

    @Test
    void floatsReadAsIntegersAreRefused() {
        RfFrame frame = RfFrame.allocate(geometry(2, 3), SampleType.FLOAT32);
        String message =
                assertThrows(IllegalStateException.class, () -> frame.readLine(0, new short[3], 0))
                        .getMessage();
        assertTrue(message.contains("FLOAT32"), message);
    }

    @Test
    void aReadOnlyBufferCanBeReadButNotWritten() {
        ShortBuffer values = ShortBuffer.wrap(new short[] {1, 2, 3}).asReadOnlyBuffer();
        RfFrame frame = RfFrame.of(geometry(1, 3), values, 0, 3);
        float[] line = new float[3];
        frame.readLine(0, line, 0);
        assertArrayEquals(new float[] {1, 2, 3}, line);
        assertThrows(ReadOnlyBufferException.class, () -> frame.writeLine(0, new short[3], 0));
    }

    @Test
    void allocatedFramesHaveTheTypeAskedFor() {
        RfFrame ints = RfFrame.allocate(geometry(2, 3), SampleType.INT16);
        assertEquals(SampleType.INT16, ints.sampleType());
        assertEquals(32767f, ints.clippingLevel());
        RfFrame floats = RfFrame.allocate(geometry(2, 3), SampleType.FLOAT32);
        assertEquals(SampleType.FLOAT32, floats.sampleType());
        assertEquals(Float.POSITIVE_INFINITY, floats.clippingLevel());
        assertThrows(NullPointerException.class, () -> RfFrame.allocate(geometry(2, 3), null));
    }

    @Test
    void stampsAreKept() {
        RfFrame frame = RfFrame.allocate(geometry(2, 3), SampleType.INT16);
        assertEquals(0, frame.index());
        assertEquals(0, frame.timeNanos());
        assertSame(frame, frame.stamp(1L << 40, -5));
        assertEquals(1L << 40, frame.index());
        assertEquals(-5, frame.timeNanos());
    }

    @Test
    void arraysTooShortAreRefusedWithBothSizes() {
        ScanGeometry g = geometry(3, 10);
        String message =
                "RF samples has 52 elements; 3 lines of 10 with stride 20 from offset 3"
                        + " need 53";
        refused(message, () -> RfFrame.of(g, new float[52], 3, 20));
        refused(message, () -> RfFrame.of(g, new short[52], 3, 20));
        refused(message, () -> RfFrame.of(g, ShortBuffer.allocate(52), 3, 20));
        refused("RF samples has 29 elements", () -> RfFrame.of(g, new float[29]));
        refused("RF samples has 29 elements", () -> RfFrame.of(g, new short[29]));
        refused("line stride is 9", () -> RfFrame.of(g, new float[99], 0, 9));
        refused("offset is -1", () -> RfFrame.of(g, new short[99], -1, 10));
        // 3 lines with this stride are beyond an int.
        refused("need 4294967304", () -> RfFrame.of(g, new short[99], 0, Integer.MAX_VALUE));
        refused("need 2147483677", () -> RfFrame.of(g, new short[99], Integer.MAX_VALUE, 10));
    }

    @ParameterizedTest
    @EnumSource(Memory.class)
    void linesAndRoomThatAreNotThereAreRefused(Memory memory) {
        RfFrame frame = frame(memory, geometry(3, 10), new short[30], 0, 10);
        for (int line : new int[] {-1, 3, Integer.MAX_VALUE}) {
            String message = "line " + line + " does not exist; the frame has lines 0 to 2";
            outOfBounds(message, () -> frame.readLine(line, new float[10], 0));
            if (memory != Memory.FLOATS) {
                outOfBounds(message, () -> frame.readLine(line, new short[10], 0));
            }
            outOfBounds(message, () -> frame.writeLine(line, new short[10], 0));
        }
        for (int offset : new int[] {-1, 3, Integer.MAX_VALUE, Integer.MIN_VALUE}) {
            String message =
                    "a line of 10 samples does not fit at offset "
                            + offset
                            + " into an array of 12";
            outOfBounds(message, () -> frame.readLine(0, new float[12], offset));
            outOfBounds(message, () -> frame.writeLine(0, new short[12], offset));
            if (memory == Memory.FLOATS) {
                outOfBounds(message, () -> frame.writeLine(0, new float[12], offset));
            } else {
                outOfBounds(message, () -> frame.readLine(0, new short[12], offset));
            }
        }
        outOfBounds("into an array of 9", () -> frame.readLine(0, new float[9], 0));
    }

    @Test
    void missingMemoryIsRefusedByName() {
        ScanGeometry g = geometry(3, 10);
        missing("RF samples are missing", () -> RfFrame.of(g, (float[]) null));
        missing("RF samples are missing", () -> RfFrame.of(g, (short[]) null, 0, 10));
        missing("RF samples are missing", () -> RfFrame.of(g, (ShortBuffer) null, 0, 10));
        missing("geometry is missing", () -> RfFrame.of(null, new float[9], 0, 10));
    }

    @ParameterizedTest
    @EnumSource(Memory.class)
    void readingAllocatesNothing(Memory memory) {
        RfFrame frame = frame(memory, geometry(3, 10), new short[30], 0, 10);
        float[] line = new float[10];
        assertEquals(0, Allocation.ofCalls(() -> frame.readLine(1, line, 0)));
        if (frame.sampleType() == SampleType.INT16) {
            short[] whole = new short[10];
            assertEquals(0, Allocation.ofCalls(() -> frame.readLine(1, whole, 0)));
        }
    }

    private static void missing(String message, Executable code) {
        assertEquals(message, assertThrows(NullPointerException.class, code).getMessage());
    }

    private static void refused(String message, Executable code) {
        String actual = assertThrows(IllegalArgumentException.class, code).getMessage();
        assertTrue(actual.contains(message), actual);
    }

    private static void outOfBounds(String message, Executable code) {
        String actual = assertThrows(IndexOutOfBoundsException.class, code).getMessage();
        assertTrue(actual.contains(message), actual);
    }

    @ParameterizedTest
    @EnumSource
    void aWholeFrameIsCopiedIntoEveryKindThatCanHoldIt(Memory from) {
        ScanGeometry geometry = geometry(3, 5);
        short[] values = new short[40];
        for (int i = 0; i < values.length; i++) {
            values[i] = (short) (31 * i - 600);
        }
        RfFrame source = frame(from, geometry, values, 4, 9).stamp(17, 340);
        for (Memory to : Memory.values()) {
            RfFrame target = frame(to, geometry, new short[40], 2, 7);
            if (from == Memory.FLOATS && to != Memory.FLOATS) {
                assertThrows(IllegalStateException.class, () -> target.copyFrom(source));
                continue;
            }
            target.copyFrom(source);
            float[] expected = new float[5];
            float[] actual = new float[5];
            for (int line = 0; line < 3; line++) {
                source.readLine(line, expected, 0);
                target.readLine(line, actual, 0);
                assertArrayEquals(expected, actual, from + " into " + to);
                assertEquals(values[4 + 9 * line + 2], actual[2]);
            }
            assertEquals(17, target.index());
            assertEquals(340, target.timeNanos());
        }
        RfFrame other = RfFrame.of(geometry(3, 6), new float[18]);
        assertThrows(IllegalArgumentException.class, () -> other.copyFrom(source));
    }

    @ParameterizedTest
    @EnumSource
    void linesAreCopiedAloneAndTheRestStays(Memory memory) {
        ScanGeometry geometry = geometry(4, 5);
        short[] values = new short[20];
        Arrays.fill(values, (short) 7);
        RfFrame source = frame(memory, geometry, values, 0, 5).stamp(17, 340);
        RfFrame target = frame(memory, geometry, new short[20], 0, 5);
        target.copyLines(source, 1, 2);
        float[] line = new float[5];
        for (int i = 0; i < 4; i++) {
            target.readLine(i, line, 0);
            float expected = i == 1 || i == 2 ? 7 : 0;
            assertArrayEquals(new float[] {expected, expected, expected, expected, expected}, line);
        }
        assertEquals(0, target.index());
        assertThrows(IndexOutOfBoundsException.class, () -> target.copyLines(source, 3, 2));
        assertThrows(IndexOutOfBoundsException.class, () -> target.copyLines(source, -1, 2));
        target.readLine(3, line, 0);
        assertArrayEquals(new float[5], line);
    }
}
