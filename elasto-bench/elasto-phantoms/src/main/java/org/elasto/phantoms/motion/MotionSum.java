package org.elasto.phantoms.motion;

/** Displacements added up at the place at rest. */
record MotionSum(Motion[] parts) implements Motion {

    @Override
    public void addDisplacement(double x, double z, double load, double[] u) {
        for (Motion part : parts) {
            part.addDisplacement(x, z, load, u);
        }
    }

    @Override
    public void addGradient(double x, double z, double load, double[] g) {
        for (Motion part : parts) {
            part.addGradient(x, z, load, g);
        }
    }
}
