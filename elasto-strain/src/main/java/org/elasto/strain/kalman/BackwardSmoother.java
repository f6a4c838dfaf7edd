package org.elasto.strain.kalman;

/**
 * Kalman filter along one line and backward smoothing (Rauch, Tung &amp; Striebel, AIAA Journal
 * 3(8):1445&ndash;1450, 1965), with the deviation that errors of displacement cause in the smoothed
 * strain.
 *
 * <p>That deviation is not the filter's own posterior one, which also holds how far strain may have
 * walked. The smoothed state is {@code W (x + P y)} with {@code W = (I + P Y)⁻¹}, of the filtered
 * state x with its posterior covariance P and what the rows below say, as information y and Y
 * (Fraser &amp; Potter, IEEE Trans Autom Control 14(4):387&ndash;390, 1969). Errors of rows above
 * and below are independent of each other, so their variances N and M, carried along without
 * process noise, add up as {@code W N W' + (W P) M (W P)'}.
 *
 * <p>Workspace of one worker; a call allocates nothing.
 */
final class BackwardSmoother {

    /** Before any row is known: a variance of 1 m² and a strain of 1. */
    private static final double PRIOR = 1;

    private final double h;
    private final double quu;
    private final double que;
    private final double qee;

    // Filtered state, posterior covariance, covariance of errors alone, by row.
    private final double[] u;
    private final double[] e;
    private final double[] puu;
    private final double[] pue;
    private final double[] pee;
    private final double[] nuu;
    private final double[] nue;
    private final double[] nee;

    BackwardSmoother(Walk walk, int rows) {
        h = walk.spacing();
        quu = walk.uu();
        que = walk.ue();
        qee = walk.ee();
        u = new double[rows];
        e = new double[rows];
        puu = new double[rows];
        pue = new double[rows];
        pee = new double[rows];
        nuu = new double[rows];
        nue = new double[rows];
        nee = new double[rows];
    }

    /**
     * Smooths a line.
     *
     * @param displacement displacements (m)
     * @param variance variances of their errors (m²), infinite where unknown
     * @param strain receives the smoothed strain
     * @param deviation receives the deviation that errors cause
     */
    void smooth(double[] displacement, double[] variance, double[] strain, double[] deviation) {
        filter(displacement, variance);
        smoothBackwards(strain);
        predictDeviations(variance, deviation);
    }

    /** Posterior variance of strain given this row and those above, for the tests. */
    double filteredStrainVariance(int row) {
        return pee[row];
    }

    private void filter(double[] displacement, double[] variance) {
        double xu = 0;
        double xe = 0;
        double a = PRIOR;
        double b = 0;
        double c = PRIOR;
        double na = 0;
        double nb = 0;
        double nc = 0;
        for (int k = 0; k < u.length; k++) {
            if (k > 0) {
                xu += h * xe;
                a += h * (2 * b + h * c) + quu;
                b += h * c + que;
                c += qee;
                na += h * (2 * nb + h * nc);
                nb += h * nc;
            }
            double r = variance[k];
            if (r < Double.POSITIVE_INFINITY) {
                double one = 1 / (a + r);
                double ku = a * one;
                double ke = b * one;
                double rest = r * one;
                double residual = displacement[k] - xu;
                xu += ku * residual;
                xe += ke * residual;
                // (I - K H) N (I - K H)' + K r K'
                nc += ke * (ke * (na + r) - 2 * nb);
                nb = rest * (nb - ke * na) + ku * ke * r;
                na = rest * rest * na + ku * ku * r;
                c -= ke * b;
                b *= rest;
                a *= rest;
            }
            u[k] = xu;
            e[k] = xe;
            puu[k] = a;
            pue[k] = b;
            pee[k] = c;
            nuu[k] = na;
            nue[k] = nb;
            nee[k] = nc;
        }
    }

    private void smoothBackwards(double[] strain) {
        int last = u.length - 1;
        double su = u[last];
        double se = e[last];
        strain[last] = se;
        for (int k = last - 1; k >= 0; k--) {
            double a = puu[k];
            double b = pue[k];
            double c = pee[k];
            // Covariance predicted for the next row, and what it has in common with this one.
            double fa = a + h * b;
            double fb = b + h * c;
            double na = fa + h * fb + quu;
            double nb = fb + que;
            double nc = c + qee;
            double du = su - (u[k] + h * e[k]);
            double de = se - e[k];
            double one = 1 / (na * nc - nb * nb);
            double vu = (nc * du - nb * de) * one;
            double ve = (na * de - nb * du) * one;
            su = u[k] + fa * vu + b * ve;
            se = e[k] + fb * vu + c * ve;
            strain[k] = se;
        }
    }

    private void predictDeviations(double[] variance, double[] deviation) {
        // Information of the rows below about this one, and the variance of its errors.
        double ya = 0;
        double yb = 0;
        double yc = 0;
        double ma = 0;
        double mb = 0;
        double mc = 0;
        for (int k = u.length - 1; k >= 0; k--) {
            double a = puu[k];
            double b = pue[k];
            double c = pee[k];
            // Row of strain of W = (I + P Y)^-1.
            double i00 = 1 + a * ya + b * yb;
            double i01 = a * yb + b * yc;
            double i10 = b * ya + c * yb;
            double i11 = 1 + b * yb + c * yc;
            double one = 1 / (i00 * i11 - i01 * i10);
            double w0 = -i10 * one;
            double w1 = i00 * one;
            double g0 = w0 * a + w1 * b;
            double g1 = w0 * b + w1 * c;
            double above = w0 * (w0 * nuu[k] + 2 * w1 * nue[k]) + w1 * w1 * nee[k];
            double below = g0 * (g0 * ma + 2 * g1 * mb) + g1 * g1 * mc;
            deviation[k] = Math.sqrt(Math.max(0, above + below));
            // 0 where unknown.
            double information = 1 / variance[k];
            ya += information;
            ma += information;
            // T = (I + Y Q)^-1, then Y = F' T Y F and M = F' T M T' F.
            double t00 = 1 + ya * quu + yb * que;
            double t01 = ya * que + yb * qee;
            double t10 = yb * quu + yc * que;
            double t11 = 1 + yb * que + yc * qee;
            double inverse = 1 / (t00 * t11 - t01 * t10);
            double s00 = t11 * inverse;
            double s01 = -t01 * inverse;
            double s10 = -t10 * inverse;
            double s11 = t00 * inverse;
            double za = s00 * ya + s01 * yb;
            double zb = s00 * yb + s01 * yc;
            double zc = s10 * yb + s11 * yc;
            ya = za;
            yc = zc + h * (2 * zb + h * za);
            yb = zb + h * za;
            double m00 = s00 * ma + s01 * mb;
            double m01 = s00 * mb + s01 * mc;
            double m10 = s10 * ma + s11 * mb;
            double m11 = s10 * mb + s11 * mc;
            double xa = m00 * s00 + m01 * s01;
            double xb = m00 * s10 + m01 * s11;
            double xc = m10 * s10 + m11 * s11;
            ma = xa;
            mc = xc + h * (2 * xb + h * xa);
            mb = xb + h * xa;
        }
    }
}
