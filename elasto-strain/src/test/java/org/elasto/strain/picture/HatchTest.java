package org.elasto.strain.picture;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class HatchTest {

    /** Rows at once, from anywhere in the hatch, as pixel by pixel, for every brightness. */
    @ParameterizedTest
    @ValueSource(ints = {1, 3})
    void rowsAreWhatPixelsAre(int unit) {
        int width = 300;
        int[] hatch = Hatch.row(width + Hatch.period(unit), unit);
        int[] echo = new int[width];
        int[] here = new int[width];
        int[] colours = new int[width];
        for (int y = 0; y < 2 * Hatch.period(unit); y++) {
            for (int x = 0; x < width; x++) {
                int grey = (x + 7 * y) % 256;
                echo[x] = ColourScale.pack(grey, grey, grey);
            }
            System.arraycopy(hatch, y % Hatch.period(unit), here, 0, width);
            Hatch.colours(echo, here, colours, width);
            for (int x = 0; x < width; x++) {
                assertEquals(Hatch.colour(x, y, unit, echo[x] & 255), colours[x]);
            }
        }
    }
}
