package org.elasto.phantoms;

import java.util.Arrays;
import java.util.List;
import org.elasto.phantoms.motion.Motion;

/**
 * All motions of a phantom with their loads: where every material point is in every frame, and
 * which point is found at a place. Immutable and thread-safe.
 */
final class Deformation {

    private static final int MOST_STEPS = 60;
    private static final double ENOUGH = 1e-15;
    private static final double ACCEPTED = 1e-12;

    private final Motion[] motions;
    private final double[][] loads;

    Deformation(List<Motion> motions, List<double[]> loads) {
        this.motions = motions.toArray(new Motion[0]);
        this.loads = loads.toArray(new double[0][]);
    }

    /** Overwrites u with the displacement in a frame of the point with a place at rest. */
    void displacement(int frame, double x, double z, double[] u) {
        u[0] = 0;
        u[1] = 0;
        for (int m = 0; m < motions.length; m++) {
            double load = loads[m][frame];
            if (load != 0) {
                motions[m].addDisplacement(x, z, load, u);
            }
        }
    }

    /** Overwrites g with the gradient of the displacement at a place at rest. */
    void gradient(int frame, double x, double z, double[] g) {
        Arrays.fill(g, 0, 4, 0);
        for (int m = 0; m < motions.length; m++) {
            double load = loads[m][frame];
            if (load != 0) {
                motions[m].addGradient(x, z, load, g);
            }
        }
    }

    /**
     * Finds the place at rest of the point that is at a place in a frame, by Newton's method.
     *
     * @return false if there is none or it was not found to 1e-12 m
     */
    boolean rest(int frame, double x, double z, double[] place, double[] u, double[] g) {
        double restX = x;
        double restZ = z;
        double best = Double.POSITIVE_INFINITY;
        for (int step = 0; step < MOST_STEPS; step++) {
            displacement(frame, restX, restZ, u);
            double missX = x - restX - u[0];
            double missZ = z - restZ - u[1];
            double miss = Math.max(Math.abs(missX), Math.abs(missZ));
            if (miss < best) {
                best = miss;
                place[0] = restX;
                place[1] = restZ;
            }
            if (miss <= ENOUGH) {
                break;
            }
            gradient(frame, restX, restZ, g);
            double a = 1 + g[0];
            double d = 1 + g[3];
            double det = a * d - g[1] * g[2];
            restX += (d * missX - g[1] * missZ) / det;
            restZ += (a * missZ - g[2] * missX) / det;
        }
        return best <= ACCEPTED;
    }
}
