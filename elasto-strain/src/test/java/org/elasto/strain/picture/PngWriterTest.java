package org.elasto.strain.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import javax.imageio.ImageReader;
import javax.imageio.stream.ImageInputStream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.w3c.dom.Element;
import org.w3c.dom.NodeList;

/** What is written is read back by the JDK's own reader. */
class PngWriterTest {

    private static Picture random(int width, int height, boolean alpha, long seed) {
        Picture picture = new Picture(width, height);
        Random random = new Random(seed);
        int colour = 0;
        for (int i = 0; i < picture.argb().length; i++) {
            // Runs, noise and gradients, so that every filter has its turn.
            colour =
                    switch (random.nextInt(8)) {
                        case 0 -> random.nextInt();
                        case 1, 2, 3 -> colour + 0x010203;
                        default -> colour;
                    };
            picture.argb()[i] = alpha ? colour : colour | 0xff000000;
        }
        return picture;
    }

    private static byte[] bytes(Picture picture, double pixels, Map<String, String> texts) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try {
            PngWriter.write(out, picture, pixels, texts);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return out.toByteArray();
    }

    private static void assertSame(Picture picture, BufferedImage read) {
        assertEquals(picture.width(), read.getWidth());
        assertEquals(picture.height(), read.getHeight());
        for (int y = 0; y < picture.height(); y++) {
            for (int x = 0; x < picture.width(); x++) {
                assertEquals(picture.argb()[y * picture.width() + x], read.getRGB(x, y));
            }
        }
    }

    @Property(tries = 40, seed = "22")
    void everyPixelComesBack(
            @ForAll @IntRange(min = 1, max = 90) int width,
            @ForAll @IntRange(min = 1, max = 60) int height,
            @ForAll boolean alpha,
            @ForAll long seed)
            throws IOException {
        Picture picture = random(width, height, alpha, seed);
        byte[] bytes = bytes(picture, Double.NaN, Map.of());
        assertSame(picture, ImageIO.read(new ByteArrayInputStream(bytes)));
    }

    @Test
    void largePictureComesBack() throws IOException {
        // Its data fill several chunks.
        Picture picture = random(1200, 700, false, 23);
        byte[] bytes = bytes(picture, 10, Map.of());
        assertTrue(bytes.length > 3 << 16);
        assertSame(picture, ImageIO.read(new ByteArrayInputStream(bytes)));
    }

    @Test
    void carriesCautionsTextsAndSize() throws IOException {
        Map<String, String> texts =
                Map.of("Title", "Phantom, 5 \u00b5m", "Comment", "\u2202u/\u2202z");
        byte[] bytes = bytes(random(5, 4, false, 24), 12.5, texts);
        ImageReader reader = ImageIO.getImageReadersByFormatName("png").next();
        try (ImageInputStream in =
                ImageIO.createImageInputStream(new ByteArrayInputStream(bytes))) {
            reader.setInput(in);
            Element root = (Element) reader.getImageMetadata(0).getAsTree("javax_imageio_png_1.0");
            Map<String, String> found = new HashMap<>();
            collect(root.getElementsByTagName("tEXtEntry"), "value", found);
            collect(root.getElementsByTagName("iTXtEntry"), "text", found);
            assertEquals(Cautions.TEXT, found.get("Disclaimer"));
            assertEquals("Phantom, 5 \u00b5m", found.get("Title"));
            assertEquals("\u2202u/\u2202z", found.get("Comment"));
            Element size = (Element) root.getElementsByTagName("pHYs").item(0);
            assertEquals("12500", size.getAttribute("pixelsPerUnitXAxis"));
            assertEquals("12500", size.getAttribute("pixelsPerUnitYAxis"));
            assertEquals("meter", size.getAttribute("unitSpecifier"));
        } finally {
            reader.dispose();
        }
    }

    private static void collect(NodeList entries, String value, Map<String, String> found) {
        for (int i = 0; i < entries.getLength(); i++) {
            Element entry = (Element) entries.item(i);
            found.put(entry.getAttribute("keyword"), entry.getAttribute(value));
        }
    }

    @Test
    void fileAppearsWholeAndReplacesAnOlderOne(@TempDir Path folder) throws IOException {
        Path file = folder.resolve("picture.png");
        PngWriter.write(file, random(5, 5, false, 25), 10, Map.of());
        Picture picture = random(7, 3, true, 26);
        PngWriter.write(file, picture, 10, Map.of());
        assertSame(picture, ImageIO.read(file.toFile()));
        assertThrows(
                IllegalArgumentException.class,
                () -> PngWriter.write(file, picture, 10, Map.of(" Title", "x")));
        assertSame(picture, ImageIO.read(file.toFile()));
        try (Stream<Path> files = Files.list(folder)) {
            assertEquals(1, files.count());
        }
    }

    @Test
    void refusesInvalidKeywords() {
        Picture picture = new Picture(1, 1);
        for (String keyword : new String[] {"", "a  b", "x\n", "\u2202", "a".repeat(80)}) {
            String message =
                    assertThrows(
                                    IllegalArgumentException.class,
                                    () -> bytes(picture, 1, Map.of(keyword, "text")))
                            .getMessage();
            assertTrue(message.contains("'" + keyword + "'"), message);
        }
    }
}
