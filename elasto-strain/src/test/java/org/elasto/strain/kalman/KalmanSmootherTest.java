package org.elasto.strain.kalman;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.apache.commons.math3.analysis.UnivariateFunction;
import org.apache.commons.math3.analysis.solvers.BrentSolver;
import org.ejml.simple.SimpleMatrix;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.StrainImage;
import org.elasto.strain.shared.Fields;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class KalmanSmootherTest {

    private static final double SPACING = 0.15e-3;

    /**
     * The likeliest states of a short line by one linear system (EJML): measurements, and steps of
     * the state weighted by the inverse of the process noise. The smoother must give the same.
     */
    @Property(tries = 30, seed = "1")
    void agreesWithOneLinearSystem(
            @ForAll @DoubleRange(min = -5, max = -1) double logChange, @ForAll long seed) {
        int n = 24;
        Walk walk = Walk.of(Math.pow(10, logChange), SPACING);
        Random random = new Random(seed);
        double[] u = new double[n];
        double[] variance = new double[n];
        for (int k = 0; k < n; k++) {
            u[k] = 1e-6 * random.nextGaussian();
            variance[k] =
                    k % 7 == 3
                            ? Double.POSITIVE_INFINITY
                            : Math.pow(1e-6 * Math.exp(0.5 * random.nextGaussian()), 2);
        }
        double[] strain = new double[n];
        double[] deviation = new double[n];
        new BackwardSmoother(walk, n).smooth(u, variance, strain, deviation);
        // In units of 1 um, and of 1 um from row to row, for sound numbers.
        double eu = 1e-6;
        double ee = eu / SPACING;
        SimpleMatrix a = new SimpleMatrix(2 * n, 2 * n);
        SimpleMatrix b = new SimpleMatrix(2 * n, n);
        for (int k = 0; k < n; k++) {
            double weight = eu * eu / variance[k];
            a.set(2 * k, 2 * k, a.get(2 * k, 2 * k) + weight);
            b.set(2 * k, k, weight / eu);
        }
        // Before any row is known: a variance of 1 m² and a strain of 1.
        a.set(0, 0, a.get(0, 0) + eu * eu);
        a.set(1, 1, a.get(1, 1) + ee * ee);
        SimpleMatrix q = noise(walk, eu, ee);
        SimpleMatrix step = new SimpleMatrix(2, 4);
        step.setRow(0, 0, -1, -1, 1, 0);
        step.setRow(1, 0, 0, -1, 0, 1);
        SimpleMatrix block = step.transpose().mult(q.invert()).mult(step);
        for (int k = 0; k + 1 < n; k++) {
            for (int i = 0; i < 4; i++) {
                for (int j = 0; j < 4; j++) {
                    a.set(2 * k + i, 2 * k + j, a.get(2 * k + i, 2 * k + j) + block.get(i, j));
                }
            }
        }
        SimpleMatrix weights = a.solve(b);
        for (int k = 0; k < n; k++) {
            double expected = 0;
            double noise = 0;
            for (int j = 0; j < n; j++) {
                double w = weights.get(2 * k + 1, j) * ee;
                expected += w * u[j];
                noise += w == 0 ? 0 : w * w * variance[j];
            }
            assertEquals(expected, strain[k], 1e-6 * Math.sqrt(noise));
            // What the errors of displacement do to it, by the same weights.
            assertEquals(Math.sqrt(noise), deviation[k], 1e-6 * deviation[k]);
        }
    }

    /**
     * Far down an even line the filter's variance is the positive solution of the discrete
     * algebraic Riccati equation, solved from the stable eigenvectors of its symplectic matrix by
     * EJML (Vaughan, IEEE Trans Autom Control 15(5):596-599, 1970).
     */
    @ParameterizedTest
    @ValueSource(doubles = {1e-4, 1e-3, 1e-2})
    void steadyStateSolvesRiccatiEquation(double change) {
        double s = 1e-6;
        Walk walk = Walk.of(change, 1e-3);
        int n = 400;
        double[] variance = new double[n];
        Arrays.fill(variance, s * s);
        BackwardSmoother smoother = new BackwardSmoother(walk, n);
        smoother.smooth(new double[n], variance, new double[n], new double[n]);
        double predicted = riccati(walk, s * s);
        double filtered = smoother.filteredStrainVariance(n - 1);
        assertEquals(predicted, filtered, 1e-6 * predicted);
    }

    /** Process noise in units of displacement and strain. */
    private static SimpleMatrix noise(Walk walk, double eu, double ee) {
        return new SimpleMatrix(
                new double[][] {
                    {walk.uu() / eu / eu, walk.ue() / eu / ee},
                    {walk.ue() / eu / ee, walk.ee() / ee / ee}
                });
    }

    /** Filtered variance of strain in the steady state. */
    private static double riccati(Walk walk, double r) {
        double h = walk.spacing();
        double eu = Math.sqrt(r);
        double ee = eu / h;
        SimpleMatrix f = new SimpleMatrix(new double[][] {{1, 1}, {0, 1}});
        SimpleMatrix q = noise(walk, eu, ee);
        SimpleMatrix hh = new SimpleMatrix(new double[][] {{1, 0}, {0, 0}});
        // Symplectic matrix of P = F P F' - F P H' (H P H' + 1)^-1 H P F' + Q.
        SimpleMatrix back = f.invert();
        SimpleMatrix z = new SimpleMatrix(4, 4);
        z.insertIntoThis(0, 0, f.transpose().plus(hh.mult(back).mult(q)));
        z.insertIntoThis(0, 2, hh.mult(back).negative());
        z.insertIntoThis(2, 0, back.mult(q).negative());
        z.insertIntoThis(2, 2, back);
        var eigen = z.eig();
        // The stable pair is complex: its real and imaginary parts span the same space. Eigenvalues
        // are
        // refined by the null space of z - lambda, which EJML gives for real matrices only.
        double re = Double.NaN;
        double im = Double.NaN;
        for (int i = 0; i < 4; i++) {
            if (eigen.getEigenvalue(i).getMagnitude() < 1) {
                re = eigen.getEigenvalue(i).getReal();
                im = Math.abs(eigen.getEigenvalue(i).getImaginary());
            }
        }
        // (z - re)² + im² vanishes on the space of the pair.
        SimpleMatrix shifted = z.minus(SimpleMatrix.identity(4).scale(re));
        SimpleMatrix square = shifted.mult(shifted).plus(SimpleMatrix.identity(4).scale(im * im));
        SimpleMatrix basis = square.svd().getV().cols(2, 4);
        SimpleMatrix p = basis.rows(2, 4).mult(basis.rows(0, 2).invert());
        double puu = p.get(0, 0);
        double pue = p.get(0, 1);
        double pee = p.get(1, 1);
        return (pee - pue * pue / (puu + 1)) * ee * ee;
    }

    /**
     * In the limit of fine rows the smoother is that of a random walk in continuous depth, whose
     * response to a wave of strain is {@code 1 / (1 + (w l)⁴)} with {@code l⁴ = s² h / q} (Wiener).
     * Its response to a step, from the poles of that, is {@code 1 - exp(-x) (cos x) / 2 ...} to one
     * side, with {@code x = z / (l sqrt 2)}; 90 % by Commons Math's Brent solver.
     */
    @Test
    void resolutionIsThatOfContinuousWalk() {
        double typical = 2e-6;
        KalmanSmootherConfig config =
                new KalmanSmootherConfig(1e-3, typical, 2.4e-3, 0.75, 0.6, 1, 2.4e-3);
        double spacing = 0.02e-3;
        FieldLayout layout = Fields.layout(1, 400, spacing, ErrorCorrelation.INDEPENDENT);
        double length = Math.pow(typical * typical * spacing / (1e-6 / 1e-3), 0.25);
        UnivariateFunction missing = x -> 0.5 * Math.exp(-x) * Math.cos(x) - 0.1;
        double x = new BrentSolver(1e-10).solve(100, missing, 0, 1.5);
        double resolution =
                Fields.create(new KalmanSmootherProvider(), config, layout).layout().resolution();
        assertEquals(2 * x * length * Math.sqrt(2), resolution, 0.01 * resolution);
    }

    /**
     * Noise of the continuous walk: the integral of w² / (1 + (w l)⁴)² is pi / (8 sqrt 2 l³),
     * twice.
     */
    @Test
    void noiseIsThatOfContinuousWalk() {
        double s = 2e-6;
        double spacing = 0.02e-3;
        KalmanSmootherConfig config =
                new KalmanSmootherConfig(1e-3, s, 2.4e-3, 0.75, 0.6, 1, 2.4e-3);
        FieldLayout layout = Fields.layout(1, 1000, spacing, ErrorCorrelation.INDEPENDENT);
        DisplacementField field = Fields.known(layout);
        Arrays.fill(field.axialDeviation(), (float) s);
        StrainImage image = Fields.estimate(new KalmanSmootherProvider(), config, field);
        double length = Math.pow(s * s * spacing / (1e-6 / 1e-3), 0.25);
        double variance =
                s * s * spacing / Math.PI * Math.PI / (8 * Math.sqrt(2)) / Math.pow(length, 3);
        assertEquals(Math.sqrt(variance), image.axialDeviation()[500], 0.01 * Math.sqrt(variance));
    }
}
