package org.elasto.conformance;

/** How much is tried: little by default, more with {@code elasto.conformance.full=true}. */
final class Sizes {

    private Sizes() {}

    static boolean full() {
        return Boolean.getBoolean("elasto.conformance.full");
    }

    static boolean printFigures() {
        return Boolean.getBoolean("elasto.conformance.figures");
    }

    /** Seeds that each statistical condition is repeated with. */
    static int repeats() {
        return full() ? 24 : 4;
    }

    /** Passes over the same input where any one of them might go wrong. */
    static int passes() {
        return full() ? 20 : 3;
    }
}
