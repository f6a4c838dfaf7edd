package org.elasto.api;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.math.BigInteger;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;

class CheckTest {

    @Test
    void rangeNamesParameterValueAndBounds() {
        assertEquals(2.5, Check.range("gain", 2.5, 1, 3, "dB"));
        assertEquals(1, Check.range("gain", 1, 1, 3));
        refused(
                "gain is 0.5 dB; it must be from 1.0 to 3.0",
                () -> Check.range("gain", 0.5, 1, 3, "dB"));
        refused(
                "gain is NaN; it must be from 1.0 to 3.0",
                () -> Check.range("gain", Double.NaN, 1, 3, ""));
        refused("gain is 4; it must be from 1 to 3", () -> Check.range("gain", 4, 1, 3));
    }

    @Test
    void sameNamesBothValues() {
        Check.same("shape", new RowGrid(5, 0, 1e-3), new RowGrid(5, 0, 1e-3));
        Check.same("shape", null, null);
        refused("shape is 3; expected 4", () -> Check.same("shape", 3, 4));
        refused("shape is null; expected 4", () -> Check.same("shape", null, 4));
        refused("shape is 3; expected x", () -> Check.same("shape", 3, "x"));
    }

    /** Against exact arithmetic: no product of sizes may overflow on the way. */
    @Property(seed = "1", tries = 500)
    void layoutAgreesWithExactArithmetic(
            @ForAll @IntRange(min = 0) int length,
            @ForAll @IntRange(min = 0) int offset,
            @ForAll @IntRange(min = 1) int lines,
            @ForAll @IntRange(min = 1) int stride,
            @ForAll @IntRange(min = 1) int perLine) {
        BigInteger end =
                BigInteger.valueOf(lines - 1)
                        .multiply(BigInteger.valueOf(stride))
                        .add(BigInteger.valueOf(offset))
                        .add(BigInteger.valueOf(perLine));
        boolean fits = stride >= perLine && end.compareTo(BigInteger.valueOf(length)) <= 0;
        Executable check = () -> Check.layout("array", length, offset, lines, stride, perLine);
        if (fits) {
            assertDoesNotThrow(check);
        } else {
            assertThrows(IllegalArgumentException.class, check);
        }
    }

    @Test
    void layoutNamesBothSizes() {
        Check.layout("RF", 33, 3, 3, 12, 6);
        refused(
                "RF has 32 elements; 3 lines of 6 with stride 12 from offset 3 need 33",
                () -> Check.layout("RF", 32, 3, 3, 12, 6));
        refused(
                "RF: offset is -1; it must not be negative",
                () -> Check.layout("RF", 32, -1, 3, 12, 6));
        refused(
                "RF: line stride is 5; it must be at least the 6 samples of a line",
                () -> Check.layout("RF", 32, 0, 3, 5, 6));
        refused(
                "RF has 10 elements; 65537 lines of 65536 with stride 65536 from offset 0 need"
                        + " 4295032832",
                () -> Check.layout("RF", 10, 0, 65537, 65536, 65536));
    }

    private static void refused(String message, Executable code) {
        assertEquals(message, assertThrows(IllegalArgumentException.class, code).getMessage());
    }
}
