package org.elasto.strain.picture;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import org.junit.jupiter.api.Test;

class GreyTableTest {

    private static final double RANGE = 55;

    /** Codes of all octaves but the first, which has silence alone. */
    private static int[] codes() {
        int[] codes = new int[300 * 64];
        for (int i = 0; i < codes.length; i++) {
            codes[i] = i < 64 ? Decibels.SILENCE : i * 1024 + 100;
        }
        return codes;
    }

    private static int[] look(GreyTable table, int[] codes) {
        int[] greys = new int[codes.length];
        table.look(codes, 0, codes.length, greys, 0, 1);
        return greys;
    }

    /** Whatever it was set to before, it is what the levels say: to half a place and rounding. */
    @Test
    void isWhatTheLevelsSayHoweverItIsSet() {
        Random random = new Random(7);
        GreyTable table = new GreyTable(300, RANGE);
        int[] codes = codes();
        for (int round = 0; round < 40; round++) {
            double black = round % 7 == 6 ? Double.NaN : 1200 * random.nextDouble() - 500;
            table.set(black);
            int[] greys = look(table, codes);
            for (int i = 0; i < codes.length; i++) {
                double level = (Decibels.ofCode(codes[i]) - black) / RANGE;
                boolean isBlack = Double.isNaN(black) || codes[i] == Decibels.SILENCE;
                double grey = isBlack ? 0 : 255 * Math.max(0, Math.min(1, level));
                assertEquals(grey + 0.5, (double) greys[i] / GreyTable.STEPS, 0.04);
            }
        }
    }

    @Test
    void looksWhereItIsTold() {
        GreyTable table = new GreyTable(300, RANGE);
        table.set(10);
        int[] codes = codes();
        int[] all = look(table, codes);
        int[] some = new int[12];
        table.look(codes, 130 * 64, 3, some, 1, 4);
        int from = 130 * 64;
        assertArrayEquals(
                new int[] {0, all[from], 0, 0, 0, all[from + 1], 0, 0, 0, all[from + 2], 0, 0},
                some);
    }
}
