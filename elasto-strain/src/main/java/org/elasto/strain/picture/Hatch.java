package org.elasto.strain.picture;

/**
 * How untrusted places look: the echo picture at half its brightness under thin slanted blue lines.
 */
final class Hatch {

    private static final int PERIOD = 6;

    private Hatch() {}

    /**
     * Colour of an untrusted pixel.
     *
     * @param x column
     * @param y row
     * @param unit thickness of the lines in pixels
     * @param grey brightness of the echo, 0 to 255
     */
    static int colour(int x, int y, int unit, int grey) {
        boolean line = (x + y) % (PERIOD * unit) < unit;
        int dimmed = grey >> 1;
        return line
                ? ColourScale.pack(84, 124, 176)
                : ColourScale.pack(dimmed * 7 >> 3, dimmed * 15 >> 4, dimmed);
    }
}
