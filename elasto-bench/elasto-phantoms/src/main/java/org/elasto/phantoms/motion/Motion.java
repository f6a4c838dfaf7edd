package org.elasto.phantoms.motion;

/**
 * Displacement of material points under a load, as a closed form of the place they have at rest.
 *
 * <p>x grows with the line number and is 0 in the middle of the probe, z is the distance from the
 * probe (both m). What the load means, and its unit, each motion says for itself; load 0 is rest.
 * Implementations are immutable and thread-safe, and defined for every finite x and z.
 *
 * <p>Both methods <em>add</em> to what they are given, so that motions can be summed without memory
 * of their own.
 */
public interface Motion {

    /**
     * Adds the displacement of one material point.
     *
     * @param x lateral place at rest (m)
     * @param z axial place at rest (m)
     * @param load how strongly the motion acts
     * @param u element 0 grows by the lateral, element 1 by the axial displacement (m)
     */
    void addDisplacement(double x, double z, double load, double[] u);

    /**
     * Adds the derivatives of the displacement with respect to the place at rest. On a line where
     * they jump, those of either side.
     *
     * @param x lateral place at rest (m)
     * @param z axial place at rest (m)
     * @param load how strongly the motion acts
     * @param g elements 0 to 3 grow by {@code du_x/dx, du_x/dz, du_z/dx, du_z/dz}
     */
    void addGradient(double x, double z, double load, double[] g);

    /**
     * Several motions under one load, their displacements at a point's place at rest added up.
     *
     * @param parts the motions
     * @return their sum
     */
    static Motion sum(Motion... parts) {
        return new MotionSum(parts.clone());
    }

    /**
     * This motion and then, from where it has led, another one under the same load.
     *
     * @param next the motion that follows, given as if the places reached were places at rest
     * @return {@code u(X) = this(X) + next(X + this(X))}
     */
    default Motion then(Motion next) {
        return new MotionChain(this, next);
    }
}
