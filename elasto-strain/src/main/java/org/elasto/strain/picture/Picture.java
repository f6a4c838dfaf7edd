package org.elasto.strain.picture;

import java.util.Arrays;
import org.elasto.api.Check;

/**
 * A picture of packed ARGB integers, {@code 0xAARRGGBB}, row after row from the top left.
 *
 * <p>The pixels are the picture's own array, handed out without copying. Not thread-safe, but
 * several threads may write different pixels at a time.
 */
public final class Picture {

    /** The most pixels that a picture may have. */
    private static final long MOST = 1L << 27;

    private final int width;
    private final int height;
    private final int[] argb;

    // Whose decoration it has, and which one of those.
    private Object decorator;
    private long decoration;

    /**
     * A picture whose pixels are all transparent black.
     *
     * @param width pixels a row, at least 1
     * @param height rows, at least 1
     * @throws IllegalArgumentException if it has no pixels or more than 2^27
     */
    public Picture(int width, int height) {
        this.width = Check.range("picture width", width, 1, 1 << 20);
        this.height = Check.range("picture height", height, 1, 1 << 20);
        if ((long) width * height > MOST) {
            throw new IllegalArgumentException(
                    "a picture of "
                            + width
                            + " x "
                            + height
                            + " pixels is too large; at most "
                            + MOST
                            + " in all");
        }
        argb = new int[width * height];
    }

    /**
     * Width.
     *
     * @return pixels a row
     */
    public int width() {
        return width;
    }

    /**
     * Height.
     *
     * @return rows
     */
    public int height() {
        return height;
    }

    /**
     * The pixels: column x of row y stands at {@code y * width + x}.
     *
     * @return the picture's own array
     */
    public int[] argb() {
        return argb;
    }

    /** Notes that all but the panels has been drawn. */
    void decorate(Object by, long number) {
        decorator = by;
        decoration = number;
    }

    boolean isDecorated(Object by, long number) {
        return decorator == by && decoration == number;
    }

    /** Fills a rectangle, as far as it lies within the picture. */
    void fill(int left, int top, int columns, int rows, int colour) {
        int from = Math.max(0, left);
        int to = Math.min(width, left + columns);
        if (from >= to) {
            return;
        }
        int end = Math.min(height, top + rows);
        for (int y = Math.max(0, top); y < end; y++) {
            Arrays.fill(argb, y * width + from, y * width + to, colour);
        }
    }

    /** Draws the outline of a rectangle, all of it within the given bounds. */
    void outline(int left, int top, int columns, int rows, int thickness, int colour) {
        fill(left, top, columns, thickness, colour);
        fill(left, top + rows - thickness, columns, thickness, colour);
        fill(left, top, thickness, rows, colour);
        fill(left + columns - thickness, top, thickness, rows, colour);
    }
}
