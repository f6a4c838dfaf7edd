package org.elasto.strain.measure;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.IntRange;
import org.apache.commons.math3.stat.descriptive.SummaryStatistics;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.phantoms.Inclusion;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.Truth;
import org.junit.jupiter.api.Test;

class RegionStatisticsTest {

    private static final RowGrid GRID = new RowGrid(150, 2e-3, 0.2e-3);
    private static final ScanGeometry LINEAR = StrainImages.linear(80);

    private static RegionStatistics of(Region region, StrainImage image) {
        FieldLayout field = StrainImages.field(image.layout().geometry(), image.layout().grid());
        return new RegionStatistics(region, image.layout(), field).update(image);
    }

    // ---------------------------------------------------------------- masks

    @Test
    void masksHaveTheAreaOfTheRegionWhateverTheProbe() {
        Region[] regions = {
            Region.ellipseMillimetres(1, 17, 6, 4),
            new EllipseRegion(-2e-3, 15e-3, 6e-3, 3e-3, 0.6),
            Region.polygonMillimetres(-5, 8, 4, 9, 6, 20, 0, 14, -6, 22)
        };
        for (ScanGeometry geometry : new ScanGeometry[] {LINEAR, StrainImages.convex(80)}) {
            for (Region region : regions) {
                RegionMask mask = new RegionMask(region, geometry, GRID);
                assertEquals(region.area(), mask.area(), 0.005 * region.area(), region.toText());
                double x = 0;
                double z = 0;
                for (int i = 0; i < mask.size(); i++) {
                    double depth = GRID.depth(mask.cell(i) % GRID.rows());
                    double line = mask.cell(i) / GRID.rows();
                    x += mask.weight(i) * geometry.x(line, depth) / mask.area();
                    z += mask.weight(i) * geometry.z(line, depth) / mask.area();
                }
                assertEquals(region.centreX(), x, 30e-6, region.toText());
                assertEquals(region.centreZ(), z, 30e-6, region.toText());
            }
        }
    }

    @Test
    void halfARegionOutsideIsLeftOut() {
        double edge = 40 * StrainImages.PITCH;
        Region region = new EllipseRegion(edge, 15e-3, 4e-3, 4e-3, 0);
        RegionMask mask = new RegionMask(region, LINEAR, GRID);
        assertEquals(0.5, mask.shareInImage(), 0.005);
        boolean[] plane = mask.toPlane();
        assertTrue(plane[79 * GRID.rows() + 65]);
        assertFalse(plane[40 * GRID.rows() + 65]);
    }

    @Test
    void regionsOutsideOrTooSmallAreRefused() {
        String outside =
                assertThrows(
                                IllegalArgumentException.class,
                                () ->
                                        new RegionMask(
                                                Region.ellipseMillimetres(30, 10, 3, 3),
                                                LINEAR,
                                                GRID))
                        .getMessage();
        assertTrue(
                outside.contains("ellipse 30 10 3 3 mm lies outside")
                        && outside.contains("-11.85 to 11.85")
                        && outside.contains("2 to 31.8"),
                outside);
        String small =
                assertThrows(
                                IllegalArgumentException.class,
                                () ->
                                        new RegionMask(
                                                Region.ellipseMillimetres(0, 10, 1e-3, 1e-3),
                                                LINEAR,
                                                GRID))
                        .getMessage();
        assertTrue(small.contains("too small") && small.contains("0.3 mm wide"), small);
    }

    // ---------------------------------------------------------------- known images

    @Test
    void meansAreExact() {
        StrainImage image = StrainImages.image(LINEAR, GRID, (x, z) -> x < 0 ? -0.01 : -0.004);
        RegionStatistics left = of(Region.ellipseMillimetres(-6, 15, 4, 4), image);
        RegionStatistics right = of(Region.ellipseMillimetres(6, 15, 4, 4), image);
        assertEquals(-0.01, left.mean(), 1e-9);
        assertEquals(-0.004, right.mean(), 1e-9);
        assertEquals(0, left.deviation(), 1e-8);
        assertEquals(1e-3, left.predictedDeviation(), 1e-9);
        assertEquals(1, left.trustedShare(), 1e-6);
        assertEquals(0.4, RegionComparison.of(right, left).ratio(), 1e-6);
        // The mean of a straight line over a region is its value at the centroid.
        StrainImage slope = StrainImages.image(LINEAR, GRID, (x, z) -> -0.3 * z + 0.1 * x);
        Region triangle = Region.polygonMillimetres(-6, 6, 6, 8, 0, 25);
        double expected = -0.3 * triangle.centreZ() + 0.1 * triangle.centreX();
        assertEquals(expected, of(triangle, slope).mean(), 1e-5);
        // Deep cells of a convex probe are wider and count for more.
        StrainImage fan =
                StrainImages.image(StrainImages.convex(80), GRID, (x, z) -> -0.3 * z + 0.1 * x);
        assertEquals(expected, of(triangle, fan).mean(), 1e-5);
    }

    @Test
    void whatIsNotTrustedIsLeftOut() {
        StrainImage image = StrainImages.image(LINEAR, GRID, (x, z) -> x < 0 ? -0.01 : -0.004);
        for (int i = 0; i < image.axial().length / 2; i++) {
            image.trusted()[i] = false;
        }
        RegionStatistics middle = of(Region.ellipseMillimetres(0, 15, 4, 4), image);
        assertEquals(-0.004, middle.mean(), 1e-9);
        assertEquals(0.5, middle.trustedShare(), 0.01);
        RegionStatistics left = of(Region.ellipseMillimetres(-6, 15, 4, 4), image);
        assertEquals(0, left.trustedCells());
        assertTrue(Double.isNaN(left.mean()) && Double.isNaN(left.meanDeviation()));
        assertTrue(Double.isNaN(left.signalToNoise()));
        RegionComparison none = RegionComparison.of(middle, left);
        assertTrue(Double.isNaN(none.ratio()) && Double.isNaN(none.contrastToNoise()));
        assertTrue(Double.isNaN(none.ratioLow()) && Double.isNaN(none.ratioHigh()));
    }

    @Test
    void updatesAllocateNothingAndOtherLayoutsAreRefused() {
        StrainImage image = StrainImages.image(LINEAR, GRID, (x, z) -> -0.01);
        RegionStatistics statistics = of(Region.ellipseMillimetres(0, 15, 4, 4), image);
        com.sun.management.ThreadMXBean threads =
                (com.sun.management.ThreadMXBean)
                        java.lang.management.ManagementFactory.getThreadMXBean();
        long thread = Thread.currentThread().getId();
        long least = Long.MAX_VALUE;
        for (int k = 0; k < 20; k++) {
            long before = threads.getThreadAllocatedBytes(thread);
            assertSame(statistics, statistics.update(image));
            least = Math.min(least, threads.getThreadAllocatedBytes(thread) - before);
        }
        assertEquals(0, least);
        StrainImage other = StrainImages.image(LINEAR, new RowGrid(140, 2e-3, 0.2e-3), (x, z) -> 0);
        assertThrows(IllegalArgumentException.class, () -> statistics.update(other));
    }

    /** The definition, word by word: a sum over all pairs of cells. */
    @Test
    void independentCellsAreThoseOfTheDoubleSum() {
        RowGrid grid = new RowGrid(40, 2e-3, 0.2e-3);
        StrainImage image = StrainImages.image(StrainImages.linear(30), grid, (x, z) -> -0.01);
        Random random = new Random(3);
        for (int i = 0; i < image.trusted().length; i++) {
            image.trusted()[i] = random.nextDouble() > 0.2;
            image.axialDeviation()[i] = (float) (1e-3 * (1 + random.nextDouble()));
        }
        FieldLayout field = StrainImages.field(image.layout().geometry(), grid);
        StrainErrors errors = new StrainErrors(field, image.layout());
        RegionStatistics statistics = of(Region.ellipseMillimetres(0, 6, 3, 2), image);
        RegionMask mask = statistics.mask();
        double total = 0;
        double pairs = 0;
        double variance = 0;
        for (int i = 0; i < mask.size(); i++) {
            int a = mask.cell(i);
            if (!image.trusted()[a]) {
                continue;
            }
            total += mask.weight(i);
            for (int j = 0; j < mask.size(); j++) {
                int b = mask.cell(j);
                int down = Math.abs(a % 40 - b % 40);
                int across = Math.abs(a / 40 - b / 40);
                if (image.trusted()[b]
                        && down < errors.alongRows.length
                        && across < errors.acrossLines.length) {
                    double r = errors.alongRows[down] * errors.acrossLines[across];
                    pairs += mask.weight(i) * mask.weight(j) * r;
                    variance +=
                            mask.weight(i)
                                    * mask.weight(j)
                                    * r
                                    * image.axialDeviation()[a]
                                    * image.axialDeviation()[b];
                }
            }
        }
        assertEquals(total * total / pairs, statistics.independentCells(), 1e-6);
        assertEquals(Math.sqrt(variance) / total, statistics.meanDeviation(), 1e-9);
    }

    /** What is kept while the same cells are trusted must not outlive them. */
    @Property(tries = 20, seed = "24")
    void earlierImagesLeaveNoTrace(@ForAll long seed) {
        RowGrid grid = new RowGrid(40, 2e-3, 0.2e-3);
        Random random = new Random(seed);
        Region region = Region.ellipseMillimetres(0.3, 6, 3, 2);
        StrainImage image =
                StrainImages.image(
                        StrainImages.linear(30),
                        grid,
                        (x, z) -> -0.01 + 2e-3 * random.nextDouble());
        RegionStatistics statistics = of(region, image);
        for (int k = 0; k < 6; k++) {
            boolean askedEachTime = random.nextBoolean();
            for (int i = 0; i < image.trusted().length; i++) {
                image.axial()[i] *= 0.9f + 0.2f * random.nextFloat();
                image.axialDeviation()[i] = 1e-3f * (1 + random.nextFloat());
                // Every second time the same places as before.
                if (k % 2 == 0) {
                    image.trusted()[i] = random.nextDouble() > 0.2 * (k % 3);
                }
            }
            statistics.update(image);
            if (askedEachTime || k == 5) {
                RegionStatistics fresh = of(region, image);
                assertEquals(fresh.trustedShare(), statistics.trustedShare());
                assertEquals(fresh.deviation(), statistics.deviation());
                assertEquals(fresh.independentCells(), statistics.independentCells());
                assertEquals(fresh.meanDeviation(), statistics.meanDeviation());
                assertEquals(fresh.signalToNoise(), statistics.signalToNoise());
            }
        }
        Arrays.fill(image.trusted(), false);
        statistics.update(image);
        assertEquals(0, statistics.independentCells());
        assertEquals(0, statistics.trustedShare());
        assertTrue(Double.isNaN(statistics.deviation() + statistics.meanDeviation()));
    }

    @Test
    void cellsWithoutRelationAreAllIndependent() {
        RowGrid grid = new RowGrid(20, 2e-3, 3e-3);
        ScanGeometry geometry = StrainImages.linear(30);
        FieldLayout field = new FieldLayout(geometry, grid, false, ErrorCorrelation.INDEPENDENT);
        StrainImage image = new StrainImage(new StrainLayout(geometry, grid, false, 1e-3));
        Arrays.fill(image.axial(), -0.01f);
        Arrays.fill(image.axialDeviation(), 1e-3f);
        // Every fourth row, so that windows of three rows have nothing in common.
        for (int i = 0; i < image.trusted().length; i++) {
            image.trusted()[i] = i % 20 % 4 == 0;
        }
        Region all = Region.polygonMillimetres(-4.35, 1, 4.35, 1, 4.35, 60, -4.35, 60);
        RegionStatistics statistics =
                new RegionStatistics(all, image.layout(), field).update(image);
        double trusted = statistics.trustedCells();
        assertEquals(trusted, statistics.independentCells(), 0.03 * trusted);
    }

    // ---------------------------------------------------------------- properties

    private static StrainImage noisy(ScanGeometry geometry, long seed) {
        Random random = new Random(seed);
        return StrainImages.image(
                geometry, GRID, (x, z) -> -0.008 + 0.1 * x + 1e-3 * random.nextGaussian());
    }

    @Property(tries = 15, seed = "21")
    void movedWithTheImageNothingChanges(
            @ForAll long seed,
            @ForAll @IntRange(min = -20, max = 20) int lines,
            @ForAll @IntRange(min = -20, max = 20) int rows) {
        StrainImage image = noisy(LINEAR, seed);
        StrainImage moved = new StrainImage(image.layout());
        for (int line = 0; line < 80; line++) {
            for (int row = 0; row < 150; row++) {
                int from = Math.floorMod(line - lines, 80) * 150 + Math.floorMod(row - rows, 150);
                moved.axial()[line * 150 + row] = image.axial()[from];
            }
        }
        Arrays.fill(moved.axialDeviation(), 1e-3f);
        Arrays.fill(moved.trusted(), true);
        // Off the points that a cell is judged by, so that rounding decides nothing.
        Region region = Region.ellipseMillimetres(0.013, 16.507, 3.011, 4.003);
        RegionStatistics a = of(region, image);
        RegionStatistics b =
                of(region.moved(lines * StrainImages.PITCH, rows * GRID.spacing()), moved);
        assertEquals(a.mean(), b.mean(), 1e-7);
        assertEquals(a.deviation(), b.deviation(), 1e-7);
        assertEquals(a.independentCells(), b.independentCells(), 1e-3 * a.independentCells());
    }

    @Property(tries = 15, seed = "22")
    void mirroredWithTheImageNothingChanges(@ForAll long seed) {
        for (ScanGeometry geometry : new ScanGeometry[] {LINEAR, StrainImages.convex(80)}) {
            StrainImage image = noisy(geometry, seed);
            StrainImage mirrored = new StrainImage(image.layout());
            for (int line = 0; line < 80; line++) {
                System.arraycopy(
                        image.axial(), line * 150, mirrored.axial(), (79 - line) * 150, 150);
            }
            Arrays.fill(mirrored.axialDeviation(), 1e-3f);
            Arrays.fill(mirrored.trusted(), true);
            RegionStatistics a = of(Region.ellipseMillimetres(4.013, 15, 3.011, 4.003), image);
            RegionStatistics b = of(Region.ellipseMillimetres(-4.013, 15, 3.011, 4.003), mirrored);
            assertEquals(a.mean(), b.mean(), 1e-7);
            assertEquals(a.deviation(), b.deviation(), 1e-7);
            assertEquals(a.meanDeviation(), b.meanDeviation(), 1e-3 * a.meanDeviation());
        }
    }

    @Property(tries = 15, seed = "23")
    void ratiosDoNotFeelTheGainAndTurnRound(
            @ForAll long seed, @ForAll @DoubleRange(min = -5, max = 5) double gain) {
        double factor = Math.abs(gain) < 0.1 ? 0.1 : gain;
        StrainImage image = noisy(LINEAR, seed);
        StrainImage scaled = new StrainImage(image.layout());
        for (int i = 0; i < image.axial().length; i++) {
            scaled.axial()[i] = (float) (factor * image.axial()[i]);
            scaled.axialDeviation()[i] = (float) (Math.abs(factor) * 1e-3);
        }
        Arrays.fill(scaled.trusted(), true);
        Region one = Region.ellipseMillimetres(-5, 15, 4, 5);
        Region two = Region.polygonMillimetres(3, 10, 9, 10, 9, 20, 3, 20);
        RegionStatistics a = of(one, image);
        RegionStatistics b = of(two, image);
        RegionComparison ab = RegionComparison.of(a, b);
        RegionComparison ba = RegionComparison.of(b, a);
        RegionComparison gained = RegionComparison.of(of(one, scaled), of(two, scaled));
        assertEquals(1, ab.ratio() * ba.ratio(), 1e-12);
        assertEquals(ab.contrastToNoise(), ba.contrastToNoise(), 1e-9);
        // To first order the relative deviation of a quotient is that of its inverse.
        assertEquals(ab.ratioDeviation() / ab.ratio(), ba.ratioDeviation() / ba.ratio(), 1e-9);
        assertEquals(1 / ab.ratioHigh(), ba.ratioLow(), 1e-9);
        assertEquals(ab.ratio(), gained.ratio(), 1e-5);
        assertEquals(ab.ratioDeviation(), gained.ratioDeviation(), 1e-5);
        assertEquals(ab.contrastToNoise(), gained.contrastToNoise(), 1e-3);
    }

    // ---------------------------------------------------------------- formulas

    /** Varghese & Ophir 1997 and 1998, on numbers done by hand; Fieller's range likewise. */
    @Test
    void formulasAreThePublishedOnes() {
        // s = 0.001 in both, m = -0.010 and -0.004: sqrt(2 36e-6 / 2e-6) = 6.
        StrainImage image =
                StrainImages.image(
                        LINEAR,
                        GRID,
                        (x, z) ->
                                (x < 0 ? -0.010 : -0.004)
                                        + (Math.round(z / 0.2e-3) % 2 == 0 ? 1e-3 : -1e-3));
        RegionStatistics a = of(Region.ellipseMillimetres(-6, 15, 4, 4), image);
        RegionStatistics b = of(Region.ellipseMillimetres(6, 15, 4, 4), image);
        assertEquals(6, RegionComparison.of(a, b).contrastToNoise(), 0.15);
        assertEquals(10, a.signalToNoise(), 0.25);

        // d1 = 0.1 of 1, d2 = 0.1 of 2: sqrt(0.01 + 0.25 0.01) / 2.
        RegionComparison r = RegionComparison.of(1, 0.1, 2, 0.1, Double.NaN);
        assertEquals(0.5, r.ratio());
        assertEquals(Math.sqrt(0.0125) / 2, r.ratioDeviation(), 1e-12);
        // The ends are where (m1 - r m2)² = t² (d1² + r² d2²).
        for (double end : new double[] {r.ratioLow(), r.ratioHigh()}) {
            double t = (1 - end * 2) / Math.sqrt(0.01 + end * end * 0.01);
            assertEquals(1.959964, Math.abs(t), 1e-6);
        }
        RegionComparison unbounded = RegionComparison.of(1, 0.1, 0.1, 0.1, Double.NaN);
        assertEquals(Double.NEGATIVE_INFINITY, unbounded.ratioLow());
        assertEquals(Double.POSITIVE_INFINITY, unbounded.ratioHigh());
        assertTrue(Double.isNaN(RegionComparison.of(1, 0.1, 0, 0.1, 1).ratio()));
    }

    // ---------------------------------------------------------------- honest uncertainty

    /**
     * The spread of means and ratios over many images with independent errors against what each
     * image predicts, where the field tells its deviations rightly, and where it claims too little.
     */
    @Test
    void statedUncertaintyIsTheSpreadSeen() {
        FieldLayout layout = StrainImages.field(LINEAR, GRID);
        float[] truth = new float[layout.planeSize()];
        for (int i = 0; i < truth.length; i++) {
            double strain = i / 150 < 40 ? -0.005 : -0.01;
            truth[i] = (float) (strain * GRID.depth(i % 150));
        }
        StrainEstimator estimator = StrainImages.estimator(layout);
        StrainImage image = estimator.newImage();
        RegionStatistics left =
                new RegionStatistics(
                        Region.ellipseMillimetres(-6, 16, 3, 3), image.layout(), layout);
        RegionStatistics right =
                new RegionStatistics(
                        Region.polygonMillimetres(3, 8, 8, 9, 7, 26, 4, 24),
                        image.layout(),
                        layout);
        for (double claim : new double[] {1, 0.4}) {
            Random random = new Random(7);
            SummaryStatistics means = new SummaryStatistics();
            SummaryStatistics ratios = new SummaryStatistics();
            double meanVariance = 0;
            double ratioVariance = 0;
            int held = 0;
            int trials = 400;
            for (int t = 0; t < trials; t++) {
                DisplacementField field =
                        StrainImages.displaced(layout, truth, 2e-6, claim * 2e-6, random);
                estimator.estimate(field, image);
                left.update(image);
                right.update(image);
                RegionComparison both = RegionComparison.of(left, right);
                means.addValue(left.mean());
                ratios.addValue(both.ratio());
                meanVariance += left.meanDeviation() * left.meanDeviation() / trials;
                ratioVariance += both.ratioDeviation() * both.ratioDeviation() / trials;
                held += both.ratioLow() <= 0.5 && 0.5 <= both.ratioHigh() ? 1 : 0;
            }
            double mean = means.getStandardDeviation() / Math.sqrt(meanVariance);
            double ratio = ratios.getStandardDeviation() / Math.sqrt(ratioVariance);
            System.out.printf(
                    java.util.Locale.ROOT,
                    "claimed %.1f of the deviation: seen / stated spread of the mean %.3f, of the"
                            + " ratio %.3f; the range held the true ratio in %d of %d%n",
                    claim,
                    mean,
                    ratio,
                    held,
                    trials);
            assertEquals(0.5, ratios.getMean(), 0.005);
            assertTrue(mean > 0.85 && mean < 1.2, "mean " + mean);
            assertTrue(ratio > 0.85 && ratio < 1.2, "ratio " + ratio);
            // Binomial, 95 of 100: 380 of 400, deviation 4.4.
            assertTrue(held >= 363, "held " + held);
        }
    }

    /**
     * Eshelby 1957: a long cylinder k times stiffer strains 2 / (1 + k) of what tissue far away
     * does. Strain from the phantom's true displacement with errors.
     */
    @Test
    void stiffCylinderStrainsAsEshelbySays() {
        ScanGeometry geometry = StrainImages.linear(200);
        FieldLayout layout = StrainImages.field(geometry, GRID);
        StrainEstimator estimator = StrainImages.estimator(layout);
        StrainImage image = estimator.newImage();
        Random random = new Random(17);
        int held = 0;
        int images = 0;
        for (double k : new double[] {0.5, 3, 10}) {
            Phantom phantom =
                    Phantom.builder()
                            .geometry(geometry)
                            .scatterersPerCell(0.01)
                            .inclusion(Inclusion.cylinder(0, 17e-3, 3e-3, k))
                            .press(0, 0.01)
                            .build();
            Truth truth = phantom.truth(0, 1, GRID);
            // Seven radii away and more, where the disturbance has fallen to about 1 in 100.
            RegionStatistics inside =
                    new RegionStatistics(
                            Region.ellipseMillimetres(0, 17, 2, 1.2), image.layout(), layout);
            RegionStatistics far =
                    new RegionStatistics(
                            Region.ellipseMillimetres(25, 17, 4, 3), image.layout(), layout);
            for (int t = 0; t < 8; t++) {
                estimator.estimate(
                        StrainImages.displaced(layout, truth.axial(), 1e-6, 1e-6, random), image);
                RegionComparison both =
                        RegionComparison.of(inside.update(image), far.update(image));
                double expected = 2 / (1 + k);
                assertEquals(expected, both.ratio(), 4 * both.ratioDeviation(), "k = " + k);
                assertTrue(both.ratioDeviation() < 0.1 * expected + 0.02, "k = " + k);
                held += both.ratioLow() <= expected && expected <= both.ratioHigh() ? 1 : 0;
                images++;
            }
        }
        System.out.printf("the range held 2 / (1 + k) in %d of %d%n", held, images);
        assertTrue(held >= 20, "held " + held + " of " + images);
    }
}
