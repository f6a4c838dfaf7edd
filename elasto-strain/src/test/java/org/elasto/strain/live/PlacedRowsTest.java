package org.elasto.strain.live;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;

/** Rows read at places between them, against the same row by row. */
class PlacedRowsTest {

    /** Places that mostly rise by a row, with jumps, turns, whole rows and some beyond the ends. */
    private static float[] places(Random random, int count, int rows) {
        float[] places = new float[count];
        double at = 1.5 * rows * random.nextDouble() - 0.4 * rows;
        double step = 0.9 + 0.2 * random.nextDouble();
        for (int i = 0; i < count; i++) {
            at += step;
            switch (random.nextInt(30)) {
                case 0 -> at = 1.4 * rows * random.nextDouble() - 0.2 * rows;
                case 1 -> at -= 3 * random.nextDouble();
                case 2 -> at = Math.rint(at);
                default -> {}
            }
            places[i] = (float) at;
        }
        return places;
    }

    @Property(tries = 200, seed = "81")
    void rowsAroundEachPlaceAndWhatLiesBetween(
            @ForAll long seed,
            @ForAll @IntRange(min = 1, max = 90) int count,
            @ForAll @IntRange(min = 1, max = 70) int rows,
            @ForAll @IntRange(min = 0, max = 3) int quarters) {
        Random random = new Random(seed);
        int most = 3;
        PlacedRows placed = new PlacedRows(most, count, rows);
        float[] plane = new float[5 + most * rows];
        for (int lines = 1; lines <= most; lines++) {
            float[][] here = new float[lines][];
            float[][] next = new float[lines][];
            float share = quarters / 4f;
            placed.clear();
            for (int line = 0; line < lines; line++) {
                here[line] = places(random, count, rows);
                next[line] = here[line].clone();
                for (int i = 0; i < count; i++) {
                    next[line][i] += random.nextInt(2);
                }
                placed.place(here[line], next[line], share);
            }
            for (int i = 0; i < plane.length; i++) {
                plane[i] = random.nextFloat();
            }
            float nowhere = random.nextInt(2);
            placed.copy(plane, 5, nowhere);
            float[] between = new float[most * count];
            placed.interpolate(between);
            for (int at = 0; at < lines * count; at++) {
                int line = at / count;
                int i = at % count;
                float place = here[line][i] + share * (next[line][i] - here[line][i]);
                int above = (int) Math.floor(place);
                boolean inside = above >= 0 && above < rows - 1;
                int from = 5 + line * rows + above;
                float a = inside ? plane[from] : nowhere;
                float b = inside ? plane[from + 1] : nowhere;
                String where = "line " + line + ", place " + i + " at row " + place;
                assertEquals(a, placed.above[at], where);
                assertEquals(b, placed.below[at], where);
                assertEquals(inside ? a + (place - above) * (b - a) : nowhere, between[at], where);
            }
        }
    }
}
