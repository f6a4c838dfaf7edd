package org.elasto.strain.picture;

/** How untrusted places look: the echo picture, dimmed and bluish, under thin slanted lines. */
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
        int red = 96 * grey >> 8;
        int green = 116 * grey >> 8;
        int blue = 148 * grey >> 8;
        return line
                ? ColourScale.pack(44 + (red >> 1), 66 + (green >> 1), 92 + (blue >> 1))
                : ColourScale.pack(8 + red, 10 + green, 14 + blue);
    }
}
