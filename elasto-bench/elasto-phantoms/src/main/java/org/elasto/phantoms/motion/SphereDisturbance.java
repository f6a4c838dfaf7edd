package org.elasto.phantoms.motion;

import org.elasto.api.Check;

/**
 * What a sphere of other stiffness adds to a {@linkplain UniformPress#uniaxial uniaxial press} of
 * incompressible tissue around it, seen in an image plane through its centre or beside it. The load
 * is that of the press. Displacement across the image plane is left out: it is zero in the plane
 * through the centre, and small beside it.
 *
 * <p>With r from the centre, {@code E = e diag(-1/2, -1/2, 1)} the far-field strain, {@code e =
 * -load}, {@code Q = r.E.r}, a the radius, &kappa; the stiffness ratio and {@code b = 5 / (3 + 2
 * kappa)}, the whole displacement inside is b times that of the press (measured from the centre),
 * and outside the disturbance is
 *
 * <pre>{@code
 * u = A r Q / r^5 + B (E.r / r^5 - (5/2) r Q / r^7)   A = -(5/2) (1 - b) a^3,  B = -(1 - b) a^5
 * p = 2 mu A Q / r^5
 * }</pre>
 *
 * <p>which solves the equations of equilibrium, has no divergence, and carries displacement and
 * traction over the boundary. Strain inside: Eshelby, Proc R Soc A 241:376-396, 1957; Goodier, J
 * Appl Mech 1:39-44, 1933. The medium is taken as endless; on several at a time see {@link
 * CylinderDisturbance}.
 *
 * @param x lateral place of the centre at rest (m)
 * @param z depth of the centre at rest (m)
 * @param radius radius (m)
 * @param stiffness how many times stiffer than the surroundings; below 1 for softer
 * @param planeOffset distance of the image plane from the centre (m)
 */
public record SphereDisturbance(
        double x, double z, double radius, double stiffness, double planeOffset) implements Motion {

    public SphereDisturbance {
        Check.range("lateral place of the sphere", x, -1, 1, "m");
        Check.range("depth of the sphere", z, -1, 1, "m");
        Check.positive("radius of the sphere", radius, "m");
        Check.positive("stiffness ratio of the sphere", stiffness, "");
        Check.range("offset of the image plane", planeOffset, -1, 1, "m");
    }

    /**
     * Strain inside over the strain far away.
     *
     * @return {@code 5 / (3 + 2 stiffness)}
     */
    public double insideShare() {
        return 5 / (3 + 2 * stiffness);
    }

    @Override
    public void addDisplacement(double atX, double atZ, double load, double[] u) {
        double dx = atX - x;
        double dz = atZ - z;
        double across2 = dx * dx + planeOffset * planeOffset;
        double r2 = across2 + dz * dz;
        double a2 = radius * radius;
        // (1 - b) e
        double lack = -(1 - insideShare()) * load;
        if (r2 <= a2) {
            u[0] += 0.5 * lack * dx;
            u[1] -= lack * dz;
            return;
        }
        double q = a2 / r2;
        double q3 = radius * q / Math.sqrt(r2);
        double along = (dz * dz - 0.5 * across2) / r2;
        double radial = 2.5 * lack * q3 * along * (q - 1);
        double straight = lack * q3 * q;
        u[0] += (radial + 0.5 * straight) * dx;
        u[1] += (radial - straight) * dz;
    }

    @Override
    public void addGradient(double atX, double atZ, double load, double[] g) {
        double dx = atX - x;
        double dz = atZ - z;
        double across2 = dx * dx + planeOffset * planeOffset;
        double r2 = across2 + dz * dz;
        double a2 = radius * radius;
        double lack = -(1 - insideShare()) * load;
        if (r2 <= a2) {
            g[0] += 0.5 * lack;
            g[3] -= lack;
            return;
        }
        double r = Math.sqrt(r2);
        double r5 = r2 * r2 * r;
        double r7 = r5 * r2;
        double a = -2.5 * lack * a2 * radius;
        double b = -lack * a2 * a2 * radius;
        double q = dz * dz - 0.5 * across2;
        double ex = -0.5 * dx;
        double ez = dz;
        // u_i = f r_i + h E_i with f = A Q / r^5 - (5/2) B Q / r^7 and h = B / r^5.
        double f = a * q / r5 - 2.5 * b * q / r7;
        double common = -5 * a * q / r7 + 17.5 * b * q / (r7 * r2);
        double slope = 2 * (a / r5 - 2.5 * b / r7);
        double fx = slope * ex + common * dx;
        double fz = slope * ez + common * dz;
        double h = b / r5;
        double hx = -5 * b * dx / r7;
        double hz = -5 * b * dz / r7;
        g[0] += f + dx * fx - 0.5 * h + ex * hx;
        g[1] += dx * fz + ex * hz;
        g[2] += dz * fx + ez * hx;
        g[3] += f + dz * fz + h + ez * hz;
    }
}
