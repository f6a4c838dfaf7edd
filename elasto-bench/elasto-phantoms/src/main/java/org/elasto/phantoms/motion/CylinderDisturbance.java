package org.elasto.phantoms.motion;

import org.elasto.api.Check;

/**
 * What a long circular cylinder of other stiffness adds to a {@linkplain UniformPress#planeStrain
 * plane-strain press} of incompressible tissue around it; its axis stands upright on the image
 * plane. The load is that of the press.
 *
 * <p>With polar coordinates about the axis, &theta; from the depth axis, {@code e = -load} the
 * far-field axial strain, a the radius, &kappa; the stiffness ratio and {@code b = 2 / (1 +
 * kappa)}, the whole displacement inside is b times that of the press (measured from the axis), and
 * outside the disturbance is
 *
 * <pre>{@code
 * u_r     = (A / r + B / r^3) cos 2 theta      A = -2 (1 - b) e a^2
 * u_theta =          B / r^3  sin 2 theta      B =    (1 - b) e a^4
 * p       = 2 mu A / r^2      cos 2 theta
 * }</pre>
 *
 * <p>which solves the equations of equilibrium, has no divergence, and carries displacement and
 * traction over the boundary. Strain inside: Eshelby, Proc R Soc A 241:376-396, 1957; Goodier, J
 * Appl Mech 1:39-44, 1933. The medium is taken as endless: the disturbance falls as 1/r and does
 * not vanish at the probe's face. Several of these added up are known exactly as a motion, but do
 * not act upon each other, so that their stresses only nearly balance.
 *
 * @param x lateral place of the axis at rest (m)
 * @param z depth of the axis at rest (m)
 * @param radius radius (m)
 * @param stiffness how many times stiffer than the surroundings; below 1 for softer
 */
public record CylinderDisturbance(double x, double z, double radius, double stiffness)
        implements Motion {

    public CylinderDisturbance {
        Check.range("lateral place of the cylinder", x, -1, 1, "m");
        Check.range("depth of the cylinder", z, -1, 1, "m");
        Check.positive("radius of the cylinder", radius, "m");
        Check.positive("stiffness ratio of the cylinder", stiffness, "");
    }

    /**
     * Strain inside over the strain far away.
     *
     * @return {@code 2 / (1 + stiffness)}
     */
    public double insideShare() {
        return 2 / (1 + stiffness);
    }

    @Override
    public void addDisplacement(double atX, double atZ, double load, double[] u) {
        double dx = atX - x;
        double dz = atZ - z;
        double r2 = dx * dx + dz * dz;
        double a2 = radius * radius;
        // (1 - b) e
        double lack = -(1 - insideShare()) * load;
        if (r2 <= a2) {
            u[0] += lack * dx;
            u[1] -= lack * dz;
            return;
        }
        double q = a2 / r2;
        double f = -2 * lack * q * (dz * dz - dx * dx) / r2;
        double h = lack * q * q / r2;
        u[0] += f * dx + h * (3 * dz * dz - dx * dx) * dx;
        u[1] += f * dz + h * (dz * dz - 3 * dx * dx) * dz;
    }

    @Override
    public void addGradient(double atX, double atZ, double load, double[] g) {
        double dx = atX - x;
        double dz = atZ - z;
        double r2 = dx * dx + dz * dz;
        double a2 = radius * radius;
        double lack = -(1 - insideShare()) * load;
        if (r2 <= a2) {
            g[0] += lack;
            g[3] -= lack;
            return;
        }
        // First part: f (dx, dz) with f = A (dz^2 - dx^2) / r^4.
        double a = -2 * lack * a2;
        double r4 = r2 * r2;
        double r6 = r4 * r2;
        double f = a * (dz * dz - dx * dx) / r4;
        double fx = 2 * a * dx * (dx * dx - 3 * dz * dz) / r6;
        double fz = 2 * a * dz * (3 * dx * dx - dz * dz) / r6;
        // Second part: u_z + i u_x = B / conj(w)^3 with w = dz + i dx; k = 3 B w^4 / r^8.
        double scale = 3 * lack * a2 * a2 / (r4 * r4);
        double w2Re = dz * dz - dx * dx;
        double w2Im = 2 * dz * dx;
        double kRe = scale * (w2Re * w2Re - w2Im * w2Im);
        double kIm = scale * 2 * w2Re * w2Im;
        g[0] += f + fx * dx + kRe;
        g[1] += fz * dx - kIm;
        g[2] += fx * dz - kIm;
        g[3] += f + fz * dz - kRe;
    }
}
