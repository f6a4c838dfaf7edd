package org.elasto.strain.picture;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

class PixelFontTest {

    private static final int INK = 0xffffffff;
    private final PixelFont font = PixelFont.instance();

    private static Picture drawn(String text, int scale, boolean bold) {
        int width = PixelFont.instance().width(text, bold) * scale;
        Picture picture = new Picture(Math.max(1, width), PixelFont.ROWS * scale);
        PixelFont.instance().draw(picture, 0, 0, text, scale, bold, INK);
        return picture;
    }

    private static long ink(Picture picture) {
        return Arrays.stream(picture.argb()).filter(p -> p == INK).count();
    }

    @Test
    void hasAsciiAndSignsOfMeasurement() {
        Map<String, Character> seen = new HashMap<>();
        StringBuilder all =
                new StringBuilder(
                        "\u00b5\u00b2\u2013\u2212\u00d7\u00b0\u00b1\u2265\u2264\u2202\u2191\u2193\u2192");
        for (char c = 33; c < 127; c++) {
            all.append(c);
        }
        for (char c : all.toString().toCharArray()) {
            assertTrue(font.has(c), "U+" + Integer.toHexString(c));
            Picture picture = drawn(String.valueOf(c), 1, false);
            assertTrue(ink(picture) > 0);
            // No two characters look alike.
            Character other = seen.put(picture.width() + Arrays.toString(picture.argb()), c);
            assertEquals(null, other, "looks like " + c);
        }
        assertEquals(0, ink(drawn(" ", 1, false)));
    }

    @Test
    void digitsAreOfOneWidth() {
        for (char c = '0'; c <= '9'; c++) {
            assertEquals(font.width("0", false), font.width(String.valueOf(c), false));
        }
    }

    @Test
    void textFillsItsWidthExactly() {
        for (boolean bold : new boolean[] {false, true}) {
            Picture picture = drawn("Hm|H", 1, bold);
            int last = picture.width() - 1;
            boolean touches = false;
            for (int y = 0; y < picture.height(); y++) {
                touches |= picture.argb()[y * picture.width() + last] == INK;
            }
            assertTrue(touches);
        }
    }

    @Test
    void scaleTwoIsEachPixelFourTimes() {
        Picture one = drawn("Strain 0.4%", 1, false);
        Picture two = drawn("Strain 0.4%", 2, false);
        for (int y = 0; y < two.height(); y++) {
            for (int x = 0; x < two.width(); x++) {
                assertEquals(
                        one.argb()[y / 2 * one.width() + x / 2], two.argb()[y * two.width() + x]);
            }
        }
    }

    @Test
    void upwardsIsTurnedByAQuarter() {
        Picture flat = drawn("Depth (mm)", 1, false);
        Picture turned = new Picture(flat.height(), flat.width());
        font.drawUpwards(turned, 0, turned.height(), "Depth (mm)", 1, INK);
        for (int y = 0; y < flat.height(); y++) {
            for (int x = 0; x < flat.width(); x++) {
                int there = (turned.height() - 1 - x) * turned.width() + y;
                assertEquals(flat.argb()[y * flat.width() + x], turned.argb()[there]);
            }
        }
    }

    @Test
    void accentsAreDroppedAndOthersBoxed() {
        assertArrayEquals(drawn("Muller", 1, false).argb(), drawn("M\u00fcller", 1, false).argb());
        assertArrayEquals(drawn("\ufffd", 1, false).argb(), drawn("\u4e2d", 1, false).argb());
        assertNotEquals(0, ink(drawn("\u4e2d", 1, false)));
    }

    @Test
    void wrapsAndShortens() {
        List<String> lines = font.wrap(Cautions.TEXT, 200, false);
        assertEquals(Cautions.TEXT, String.join(" ", lines));
        for (String line : lines) {
            assertTrue(font.width(line, false) <= 200, line);
        }
        assertTrue(lines.size() > 4);
        String shortened = font.shorten(Cautions.TEXT, 100, true);
        assertTrue(font.width(shortened, true) <= 100);
        assertTrue(shortened.endsWith("..."));
        assertFalse(shortened.endsWith(" ..."));
        assertEquals("short", font.shorten("short", 100, false));
    }
}
