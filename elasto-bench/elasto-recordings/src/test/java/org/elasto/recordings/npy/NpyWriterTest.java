package org.elasto.recordings.npy;

import static org.elasto.recordings.TestFiles.assertFails;
import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import org.elasto.recordings.TestFiles;
import org.elasto.recordings.array.ElementType;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class NpyWriterTest {

    @TempDir Path folder;

    /**
     * NumPy's own file of the same array differs in nothing but the blanks behind its header, if
     * anything (single-frame.npy is written by numpy.save, see make_small.py).
     */
    @Test
    void theHeaderIsThatOfNumPy() throws IOException {
        byte[] theirs = Files.readAllBytes(TestFiles.small("double.npy"));
        double[] values = new double[6 * 5 * 20];
        ByteBuffer.wrap(theirs, 128, values.length * 8)
                .order(ByteOrder.LITTLE_ENDIAN)
                .asDoubleBuffer()
                .get(values);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        NpyWriter.write(out, values, 6, 5, 20);
        byte[] ours = out.toByteArray();
        assertArrayEquals(text(theirs), text(ours));
        assertArrayEquals(
                java.util.Arrays.copyOfRange(theirs, 128, theirs.length),
                java.util.Arrays.copyOfRange(ours, ours.length - values.length * 8, ours.length));
        assertEquals(0, (ours.length - values.length * 8) % 64);
    }

    private static String[] text(byte[] file) {
        int length = Short.toUnsignedInt((short) (file[8] & 0xff | file[9] << 8));
        return new String(file, 10, length, java.nio.charset.StandardCharsets.US_ASCII)
                .strip()
                .split(" ");
    }

    @Test
    void shapesOfAnyLengthAreReadAgain() throws IOException {
        int[][] shapes = {{6}, {2, 3}, {1, 1, 6}, {6, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1}};
        float[] values = {1, -2, Float.NaN, Float.POSITIVE_INFINITY, 1e-40f, 0};
        for (int[] shape : shapes) {
            ByteArrayOutputStream out = new ByteArrayOutputStream();
            NpyWriter.write(out, values, shape);
            Path file = Files.write(folder.resolve("a.npy"), out.toByteArray());
            try (FileChannel channel = FileChannel.open(file)) {
                NpyHeader header = NpyHeader.read("a.npy", channel);
                assertArrayEquals(shape, header.info().shape());
                assertEquals(ElementType.FLOAT32, header.info().element());
                assertEquals(ByteOrder.LITTLE_ENDIAN, header.order());
                assertEquals(channel.size() - 24, header.start());
                ByteBuffer bytes = ByteBuffer.allocate(24).order(ByteOrder.LITTLE_ENDIAN);
                channel.read(bytes, header.start());
                for (int i = 0; i < values.length; i++) {
                    assertEquals(values[i], bytes.getFloat(4 * i));
                }
            }
        }
    }

    @Test
    void shapesThatDoNotFitAreRefused() {
        assertFails(
                IllegalArgumentException.class,
                () -> NpyWriter.write(new ByteArrayOutputStream(), new boolean[5], 2, 3),
                "5 elements",
                "[2, 3]",
                "needs 6");
    }
}
