package org.elasto.strain.picture;

/**
 * How untrusted places look: the echo picture at half its brightness under thin slanted blue lines.
 */
final class Hatch {

    /** Colour of the lines. */
    static final int LINE = ColourScale.pack(84, 124, 176);

    private static final int PERIOD = 6;
    private static final int[] DIMMED = new int[256];

    static {
        for (int grey = 0; grey < DIMMED.length; grey++) {
            int half = grey >> 1;
            DIMMED[grey] = ColourScale.pack(half * 7 >> 3, half * 15 >> 4, half);
        }
    }

    private Hatch() {}

    /** Colours between the lines by the brightness of the echo; to be read only. */
    static int[] dimmed() {
        return DIMMED;
    }

    /** Pixels from line to line along a row or a column, the first ones of which are line. */
    static int period(int unit) {
        return PERIOD * unit;
    }

    /** Columns of the first row of pixels: all bits of a line of the hatch, none between. */
    static int[] row(int width, int unit) {
        int[] row = new int[width];
        for (int x = 0; x < width; x++) {
            row[x] = x % period(unit) < unit ? -1 : 0;
        }
        return row;
    }

    /**
     * Colours of a row of untrusted pixels.
     *
     * @param echo colours of the echo
     * @param hatch all bits for a line, none between
     * @param colours receives the colours
     * @param n pixels
     */
    static void colours(int[] echo, int[] hatch, int[] colours, int n) {
        dim(echo, colours, n);
        for (int x = 0; x < n; x++) {
            colours[x] = colours[x] & ~hatch[x] | LINE & hatch[x];
        }
    }

    private static void dim(int[] echo, int[] colours, int n) {
        for (int x = 0; x < n; x++) {
            int half = echo[x] >> 1 & 127;
            colours[x] = (half * 7 >> 3) << 16 | (half * 15 >> 4) << 8 | half | 0xff000000;
        }
    }

    /**
     * Colour of an untrusted pixel.
     *
     * @param x column
     * @param y row
     * @param unit thickness of the lines in pixels
     * @param grey brightness of the echo, 0 to 255
     */
    static int colour(int x, int y, int unit, int grey) {
        return (x + y) % period(unit) < unit ? LINE : DIMMED[grey];
    }
}
