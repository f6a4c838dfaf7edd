package org.elasto.phantoms.motion;

import java.util.Arrays;
import org.elasto.api.Check;

/**
 * Layers of different stiffness, one below the other, pressed in depth without giving way sideways.
 * Every layer carries the same stress; the load is the strain (positive when pressed) of a layer of
 * stiffness 1, so that one of stiffness k is strained by {@code load / k}. The displacement is
 * piecewise linear in depth and 0 at the probe's face.
 */
public final class Layers implements Motion {

    private final double[] boundaries;
    private final double[] softness;
    private final double[] before;

    /**
     * Makes the layers.
     *
     * @param boundaries depths at which one layer ends and the next begins (m), rising, all greater
     *     than 0; the first layer begins at the probe (and reaches above it), the last has no end
     * @param stiffness stiffness of each layer, relative; one more than there are boundaries
     * @throws IllegalArgumentException if the numbers do not fit
     */
    public Layers(double[] boundaries, double[] stiffness) {
        if (stiffness.length != boundaries.length + 1) {
            throw new IllegalArgumentException(
                    stiffness.length
                            + " stiffnesses for "
                            + boundaries.length
                            + " boundaries between layers; there must be one more");
        }
        this.boundaries = boundaries.clone();
        softness = new double[stiffness.length];
        before = new double[stiffness.length];
        for (int i = 0; i < stiffness.length; i++) {
            softness[i] = 1 / Check.positive("stiffness of layer " + i, stiffness[i], "");
            if (i > 0) {
                double top = i > 1 ? boundaries[i - 2] : 0;
                double end = Check.positive("boundary between layers", boundaries[i - 1], "m");
                if (end <= top) {
                    throw new IllegalArgumentException(
                            "boundaries between layers are "
                                    + Arrays.toString(boundaries)
                                    + " m; they must rise");
                }
                before[i] = before[i - 1] + (end - top) * softness[i - 1];
            }
        }
    }

    /**
     * Which layer a depth lies in.
     *
     * @param z depth at rest (m)
     * @return number of the layer, from 0
     */
    public int layerAt(double z) {
        int i = 0;
        while (i < boundaries.length && z > boundaries[i]) {
            i++;
        }
        return i;
    }

    @Override
    public void addDisplacement(double x, double z, double load, double[] u) {
        int i = layerAt(z);
        double top = i > 0 ? boundaries[i - 1] : 0;
        u[1] -= load * (before[i] + (z - top) * softness[i]);
    }

    @Override
    public void addGradient(double x, double z, double load, double[] g) {
        g[3] -= load * softness[layerAt(z)];
    }
}
