package org.elasto.strain.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.LongRange;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.LUDecomposition;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.junit.jupiter.api.Test;

class RelativeStrainTest {

    private static final StrainLayout LAYOUT =
            new StrainLayout(
                    ScanGeometry.linear(64, 2000, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50),
                    new RowGrid(200, 1e-3, 0.18e-3),
                    false,
                    2e-3);

    private static final float NOISE = 1e-5f;

    /** Strain that fades with depth and leans to one side, and what it is relative to that. */
    private static StrainImage image(double size, float[] truth, long seed) {
        StrainImage image = new StrainImage(LAYOUT);
        Random random = new Random(seed);
        int rows = LAYOUT.grid().rows();
        for (int line = 0; line < 64; line++) {
            double x = line / 31.5 - 1;
            for (int row = 0; row < rows; row++) {
                double z = 2.0 * row / (rows - 1) - 1;
                double smooth = size * (1 - 0.25 * z + 0.1 * z * z + 0.15 * x - 0.08 * x * x);
                int at = line * rows + row;
                image.axial()[at] = (float) (smooth * truth[at] + NOISE * random.nextGaussian());
                image.axialDeviation()[at] = NOISE;
                image.trusted()[at] = true;
            }
        }
        return image;
    }

    private static boolean update(RelativeStrain relation, StrainImage image, RelativePlanes into) {
        relation.fitTo(image);
        return relation.divideInto(into);
    }

    private static float[] withInclusions() {
        float[] truth = new float[LAYOUT.planeSize()];
        int rows = LAYOUT.grid().rows();
        for (int line = 0; line < 64; line++) {
            for (int row = 0; row < rows; row++) {
                boolean stiff = Math.hypot(line - 20, (row - 60) * 0.6) < 13;
                boolean soft = Math.hypot(line - 45, (row - 150) * 0.6) < 8;
                truth[line * rows + row] = stiff ? 0.4f : soft ? 1.8f : 1f;
            }
        }
        return truth;
    }

    @Test
    void inclusionsDoNotBendTheFieldTheyAreRelatedTo() {
        float[] truth = withInclusions();
        RelativeStrain relation = new RelativeStrain(LAYOUT, Workers.sequential());
        RelativePlanes planes = new RelativePlanes(LAYOUT.planeSize());
        assertTrue(update(relation, image(-0.006, truth, 3), planes));
        double worst = 0;
        for (int i = 0; i < truth.length; i++) {
            assertTrue(planes.trusted()[i]);
            worst = Math.max(worst, Math.abs(planes.relative()[i] / truth[i] - 1));
        }
        // Five deviations of the noise, and what is left of the inclusions' pull.
        assertTrue(worst < 0.02, "off by up to " + worst);
        assertEquals(0.006, relation.typicalStrain(), 0.0006);
    }

    @Property(tries = 25, seed = "11")
    void pressingOrReleasingHardOrGentlyLooksTheSame(
            @ForAll @IntRange(min = 10, max = 300) int tenThousandths,
            @ForAll boolean release,
            @ForAll @LongRange(min = 1, max = 1000) long seed) {
        double size = tenThousandths * 1e-4;
        float[] truth = withInclusions();
        RelativeStrain relation = new RelativeStrain(LAYOUT, Workers.sequential());
        RelativePlanes planes = new RelativePlanes(LAYOUT.planeSize());
        assertTrue(update(relation, image(release ? size : -size, truth, seed), planes));
        int rows = LAYOUT.grid().rows();
        for (int at : new int[] {20 * rows + 60, 45 * rows + 150, 10 * rows + 150, 50 * rows}) {
            double allowed = 0.02 * truth[at] + 6 * NOISE / (0.6 * size);
            assertEquals(truth[at], planes.relative()[at], allowed);
            assertTrue(planes.deviation()[at] > 0.7 * NOISE / size);
            assertTrue(planes.deviation()[at] < 1.7 * NOISE / size);
        }
    }

    @Test
    void whereThereIsNothingToRelateToNothingIsTrusted() {
        RelativeStrain relation = new RelativeStrain(LAYOUT, Workers.sequential());
        RelativePlanes planes = new RelativePlanes(LAYOUT.planeSize());
        assertFalse(update(relation, new StrainImage(LAYOUT), planes), "nothing known");
        for (boolean trusted : planes.trusted()) {
            assertFalse(trusted);
        }
        StrainImage still = new StrainImage(LAYOUT);
        Arrays.fill(still.axial(), 0f);
        Arrays.fill(still.axialDeviation(), NOISE);
        Arrays.fill(still.trusted(), true);
        assertFalse(update(relation, still, planes), "no strain at all");
    }

    @Test
    void behindWhatDoesNotMoveStrainIsNotRelated() {
        float[] truth = new float[LAYOUT.planeSize()];
        Arrays.fill(truth, 1f);
        StrainImage image = image(-0.005, truth, 4);
        int rows = LAYOUT.grid().rows();
        // Strain that falls off to nothing and turns its sign at the bottom.
        for (int at = 0; at < truth.length; at++) {
            double z = 2.0 * (at % rows) / (rows - 1) - 1;
            image.axial()[at] = (float) (-0.005 * (0.5 - z));
        }
        RelativeStrain relation = new RelativeStrain(LAYOUT, Workers.sequential());
        RelativePlanes planes = new RelativePlanes(LAYOUT.planeSize());
        assertTrue(update(relation, image, planes));
        assertTrue(planes.trusted()[rows / 4]);
        assertFalse(planes.trusted()[3 * rows / 4 + 1], "where strain is nearly 0");
        assertFalse(planes.trusted()[rows - 1], "where its sign has turned");
    }

    /** Terms of the smooth field at a cell. */
    private static double[] terms(int line, int row) {
        double x = line / 31.5 - 1;
        double z = 2.0 * row / (LAYOUT.grid().rows() - 1) - 1;
        return new double[] {1, z, z * z, x, x * z, x * x};
    }

    private static double median(double[] values) {
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        return sorted[sorted.length / 2];
    }

    /** The fit as it is described, sample by sample, solved by Commons Math. */
    private static double[] plainFit(StrainImage image) {
        int rows = LAYOUT.grid().rows();
        List<double[]> samples = new ArrayList<>();
        for (int line = 1; line < 64; line += 2) {
            for (int row = 3; row < rows; row += 6) {
                int at = line * rows + row;
                if (image.trusted()[at]) {
                    double[] terms = Arrays.copyOf(terms(line, row), 8);
                    terms[6] = image.axial()[at];
                    terms[7] = image.axialDeviation()[at];
                    samples.add(terms);
                }
            }
        }
        double[] c = new double[6];
        c[0] = median(samples.stream().mapToDouble(t -> t[6]).toArray());
        double scale = Double.POSITIVE_INFINITY;
        for (int pass = 0; pass < 5; pass++) {
            double[][] normal = new double[6][6];
            double[] right = new double[6];
            for (double[] t : samples) {
                double b = value(c, t);
                double r = Math.abs(t[6] - b) / Math.abs(b) / scale;
                double keep = r < 1 ? 1 - r * r : 0;
                double w = keep * keep / (t[7] * t[7] + 0.01 * b * b);
                for (int j = 0; j < 6; j++) {
                    right[j] += w * t[j] * t[6];
                    for (int k = 0; k < 6; k++) {
                        normal[j][k] += w * t[j] * t[k];
                    }
                }
            }
            c =
                    new LUDecomposition(new Array2DRowRealMatrix(normal))
                            .getSolver()
                            .solve(new ArrayRealVector(right))
                            .toArray();
            double[] fitted = c;
            scale =
                    4.685
                            / 0.6745
                            * median(
                                    samples.stream()
                                            .mapToDouble(t -> Math.abs(t[6] / value(fitted, t) - 1))
                                            .toArray());
        }
        return c;
    }

    private static double value(double[] c, double[] terms) {
        double sum = 0;
        for (int j = 0; j < 6; j++) {
            sum += c[j] * terms[j];
        }
        return sum;
    }

    @Property(tries = 10, seed = "13")
    void theSmoothFieldIsThatOfAPlainFit(@ForAll @LongRange(min = 1, max = 1000) long seed) {
        StrainImage image = image(-0.006, withInclusions(), seed);
        Random random = new Random(seed);
        for (int at = 0; at < image.trusted().length; at++) {
            image.trusted()[at] = random.nextInt(8) > 0;
            image.axialDeviation()[at] *= 0.5f + 20 * random.nextFloat();
            image.axial()[at] += (float) (0.3 * image.axialDeviation()[at] * random.nextGaussian());
        }
        double[] c = plainFit(image);
        RelativeStrain relation = new RelativeStrain(LAYOUT, Workers.sequential());
        RelativePlanes planes = new RelativePlanes(LAYOUT.planeSize());
        assertTrue(update(relation, image, planes));
        int rows = LAYOUT.grid().rows();
        for (int at = 0; at < image.trusted().length; at++) {
            if (image.trusted()[at]) {
                double field = value(c, terms(at / rows, at % rows));
                // In single precision, with the little resistance that keeps idle terms at 0.
                double expected = image.axial()[at] / field;
                assertEquals(expected, planes.relative()[at], 1e-5, "place " + at);
                double deviation = image.axialDeviation()[at] / Math.abs(field);
                assertEquals(deviation, planes.deviation()[at], 1e-5 * deviation);
            } else {
                assertTrue(Float.isNaN(planes.relative()[at]));
            }
        }
    }
}
