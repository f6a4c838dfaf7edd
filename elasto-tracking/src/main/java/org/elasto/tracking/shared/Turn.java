package org.elasto.tracking.shared;

/**
 * Sine, cosine and angle in turns instead of radians, by polynomials that the compiler can turn
 * into vector code. Stateless and thread-safe.
 */
final class Turn {

    private Turn() {}

    /**
     * Sine of an angle.
     *
     * @param turns angle in turns, -0.5 to 0.5
     * @return sine, within 2e-6
     */
    static float sin(float turns) {
        // sin(2 pi t) = sign * cos of what lacks to a quarter turn; |.| keeps the polynomial short.
        float t = turns;
        float x = 0.25f - Math.abs(Math.abs(t) - 0.25f);
        float y = evenSine(x);
        return t < 0 ? -y : y;
    }

    /**
     * Cosine of an angle.
     *
     * @param turns angle in turns, -0.5 to 0.5
     * @return cosine, within 2e-6
     */
    static float cos(float turns) {
        float x = 0.25f - Math.abs(turns);
        float magnitude = evenSine(Math.abs(x));
        return x < 0 ? -magnitude : magnitude;
    }

    /** sin(2 pi x) for 0 to a quarter turn, by its power series. */
    private static float evenSine(float x) {
        float a = x * 6.2831855f;
        float q = a * a;
        return a
                * (1f
                        + q
                                * (-1.6666667e-1f
                                        + q
                                                * (8.3333333e-3f
                                                        + q
                                                                * (-1.9841270e-4f
                                                                        + q
                                                                                * (2.7557319e-6f
                                                                                        - q
                                                                                                * 2.5052108e-8f)))));
    }
}
