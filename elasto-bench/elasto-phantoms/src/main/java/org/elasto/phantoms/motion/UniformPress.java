package org.elasto.phantoms.motion;

import org.elasto.api.Check;

/**
 * Evenly soft tissue under an even press. The load is the axial strain with its sign turned: 0.01
 * shortens the tissue by 1 % in depth, so that {@code u_z = -load z} is 0 at the probe's face and
 * negative below it, and {@code u_x = lateralShare load (x - centre)}.
 *
 * @param lateralShare lateral over axial strain, 0 to 1: 1 for incompressible tissue that cannot
 *     give way across the image plane (plane strain), 0.5 where it gives way both ways alike
 *     (uniaxial), 0 for none
 * @param centre lateral place that stays where it is (m)
 */
public record UniformPress(double lateralShare, double centre) implements Motion {

    public UniformPress {
        Check.range("lateral share of the press", lateralShare, 0, 1, "");
        Check.range("centre of the press", centre, -10, 10, "m");
    }

    /**
     * Incompressible tissue in plane strain, about the middle of the probe.
     *
     * @return the motion
     */
    public static UniformPress planeStrain() {
        return new UniformPress(1, 0);
    }

    /**
     * Incompressible tissue that gives way both ways alike, about the middle of the probe.
     *
     * @return the motion
     */
    public static UniformPress uniaxial() {
        return new UniformPress(0.5, 0);
    }

    /**
     * Axial motion only.
     *
     * @return the motion
     */
    public static UniformPress axialOnly() {
        return new UniformPress(0, 0);
    }

    @Override
    public void addDisplacement(double x, double z, double load, double[] u) {
        u[0] += lateralShare * load * (x - centre);
        u[1] -= load * z;
    }

    @Override
    public void addGradient(double x, double z, double load, double[] g) {
        g[0] += lateralShare * load;
        g[3] -= load;
    }
}
