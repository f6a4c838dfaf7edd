package org.elasto.strain.picture;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.text.Normalizer;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * A small proportional font of hard pixels, drawn for this project: 9 rows above the base line, 3
 * below. It has the printable ASCII characters and some signs of measurement; a letter with an
 * accent is drawn without, anything else as an empty box.
 *
 * <p>Immutable and thread-safe.
 */
final class PixelFont {

    /** Rows above the base line, the height of a capital. */
    static final int ASCENT = 9;

    /** Rows of a glyph, those below the base line included. */
    static final int ROWS = 12;

    /** Distance from one line of text to the next. */
    static final int LINE = 14;

    private static final char UNKNOWN = '\ufffd';
    private static final String RESOURCE = "pixel-font.txt";
    private static final PixelFont INSTANCE = load();

    /** For each glyph its rows as bits, the leftmost column in bit 0, and its width at last. */
    private final Map<Character, int[]> glyphs;

    private PixelFont(Map<Character, int[]> glyphs) {
        this.glyphs = glyphs;
    }

    static PixelFont instance() {
        return INSTANCE;
    }

    boolean has(char c) {
        return glyphs.containsKey(c);
    }

    /** Width of a text in pixels at scale 1. */
    int width(String text, boolean bold) {
        String drawable = drawable(text);
        int width = 0;
        for (int i = 0; i < drawable.length(); i++) {
            width += advance(glyph(drawable.charAt(i)), bold);
        }
        return Math.max(0, width - 1);
    }

    /**
     * Draws a text.
     *
     * @param picture where
     * @param left first column
     * @param top first row
     * @param text what
     * @param scale pixels that a pixel of the font takes either way
     * @param bold whether strokes are twice as wide
     * @param colour packed ARGB
     */
    void draw(
            Picture picture, int left, int top, String text, int scale, boolean bold, int colour) {
        String drawable = drawable(text);
        int x = left;
        for (int i = 0; i < drawable.length(); i++) {
            int[] glyph = glyph(drawable.charAt(i));
            for (int r = 0; r < ROWS; r++) {
                int bits = bold ? glyph[r] | glyph[r] << 1 : glyph[r];
                for (int c = 0; bits != 0; c++, bits >>>= 1) {
                    if ((bits & 1) != 0) {
                        picture.fill(x + c * scale, top + r * scale, scale, scale, colour);
                    }
                }
            }
            x += advance(glyph, bold) * scale;
        }
    }

    /** Draws a text that runs upwards: the first letter lowest, its top to the left. */
    void drawUpwards(Picture picture, int left, int bottom, String text, int scale, int colour) {
        String drawable = drawable(text);
        int y = bottom;
        for (int i = 0; i < drawable.length(); i++) {
            int[] glyph = glyph(drawable.charAt(i));
            for (int r = 0; r < ROWS; r++) {
                for (int c = 0; c < glyph[ROWS]; c++) {
                    if ((glyph[r] >> c & 1) != 0) {
                        picture.fill(left + r * scale, y - (c + 1) * scale, scale, scale, colour);
                    }
                }
            }
            y -= advance(glyph, false) * scale;
        }
    }

    /** Breaks a text at its spaces into lines no wider than a number of pixels at scale 1. */
    List<String> wrap(String text, int width, boolean bold) {
        List<String> lines = new ArrayList<>();
        String line = "";
        for (String word : text.trim().split("\\s+")) {
            String longer = line.isEmpty() ? word : line + " " + word;
            if (!line.isEmpty() && width(longer, bold) > width) {
                lines.add(line);
                longer = word;
            }
            line = longer;
        }
        lines.add(line);
        return lines;
    }

    /** The text, or as much of its beginning as fits, with three dots. */
    String shorten(String text, int width, boolean bold) {
        String shortened = text;
        for (int n = text.length(); n > 0 && width(shortened, bold) > width; n--) {
            shortened = text.substring(0, n - 1).stripTrailing() + "...";
        }
        return shortened;
    }

    private static int advance(int[] glyph, boolean bold) {
        return glyph[ROWS] + (bold ? 2 : 1);
    }

    private int[] glyph(char c) {
        int[] glyph = glyphs.get(c);
        return glyph == null ? glyphs.get(UNKNOWN) : glyph;
    }

    /** Letters without their accents, if the font lacks one of them. */
    private String drawable(String text) {
        for (int i = 0; i < text.length(); i++) {
            if (!has(text.charAt(i))) {
                return Normalizer.normalize(text, Normalizer.Form.NFD).replaceAll("\\p{M}+", "");
            }
        }
        return text;
    }

    private static PixelFont load() {
        InputStream stream = PixelFont.class.getResourceAsStream(RESOURCE);
        if (stream == null) {
            throw new IllegalStateException("resource " + RESOURCE + " is missing");
        }
        try (BufferedReader reader =
                new BufferedReader(new InputStreamReader(stream, StandardCharsets.US_ASCII))) {
            Map<Character, int[]> glyphs = new HashMap<>();
            for (String line = reader.readLine(); line != null; line = reader.readLine()) {
                if (line.startsWith("glyphs ")) {
                    readBlock(line.substring(7).split(" "), reader, glyphs);
                }
            }
            return new PixelFont(Map.copyOf(glyphs));
        } catch (IOException e) {
            throw new UncheckedIOException("resource " + RESOURCE + " cannot be read", e);
        }
    }

    private static void readBlock(
            String[] codes, BufferedReader reader, Map<Character, int[]> glyphs)
            throws IOException {
        int[][] block = new int[codes.length][ROWS + 1];
        for (int r = 0; r < ROWS; r++) {
            String[] parts = reader.readLine().split(" ");
            for (int g = 0; g < codes.length; g++) {
                for (int c = 0; c < parts[g].length(); c++) {
                    block[g][r] |= parts[g].charAt(c) == '#' ? 1 << c : 0;
                }
                block[g][ROWS] = parts[g].length();
            }
        }
        for (int g = 0; g < codes.length; g++) {
            glyphs.put((char) Integer.parseInt(codes[g], 16), block[g]);
        }
    }
}
