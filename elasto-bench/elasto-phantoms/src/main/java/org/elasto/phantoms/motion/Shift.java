package org.elasto.phantoms.motion;

import org.elasto.api.Check;

/**
 * The same displacement everywhere: {@code load * (lateral, axial)}.
 *
 * @param lateral lateral displacement per unit of load (m)
 * @param axial axial displacement per unit of load (m), positive away from the probe
 */
public record Shift(double lateral, double axial) implements Motion {

    public Shift {
        Check.range("lateral shift", lateral, -1, 1, "m");
        Check.range("axial shift", axial, -1, 1, "m");
    }

    /**
     * Sideways: the load is the lateral displacement (m).
     *
     * @return the motion
     */
    public static Shift sideways() {
        return new Shift(1, 0);
    }

    /**
     * In depth: the load is the axial displacement (m).
     *
     * @return the motion
     */
    public static Shift inDepth() {
        return new Shift(0, 1);
    }

    @Override
    public void addDisplacement(double x, double z, double load, double[] u) {
        u[0] += load * lateral;
        u[1] += load * axial;
    }

    @Override
    public void addGradient(double x, double z, double load, double[] g) {
        // The same everywhere.
    }
}
