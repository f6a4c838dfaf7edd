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
