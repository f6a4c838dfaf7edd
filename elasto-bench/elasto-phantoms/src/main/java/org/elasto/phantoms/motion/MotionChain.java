package org.elasto.phantoms.motion;

/** One motion after the other; gradients by the chain rule. */
record MotionChain(Motion first, Motion next) implements Motion {

    @Override
    public void addDisplacement(double x, double z, double load, double[] u) {
        double[] v = new double[2];
        first.addDisplacement(x, z, load, v);
        u[0] += v[0];
        u[1] += v[1];
        next.addDisplacement(x + v[0], z + v[1], load, u);
    }

    @Override
    public void addGradient(double x, double z, double load, double[] g) {
        double[] v = new double[2];
        double[] a = new double[4];
        double[] b = new double[4];
        first.addDisplacement(x, z, load, v);
        first.addGradient(x, z, load, a);
        next.addGradient(x + v[0], z + v[1], load, b);
        // (I + B)(I + A) - I = A + B + B A
        g[0] += a[0] + b[0] + b[0] * a[0] + b[1] * a[2];
        g[1] += a[1] + b[1] + b[0] * a[1] + b[1] * a[3];
        g[2] += a[2] + b[2] + b[2] * a[0] + b[3] * a[2];
        g[3] += a[3] + b[3] + b[2] * a[1] + b[3] * a[3];
    }
}
