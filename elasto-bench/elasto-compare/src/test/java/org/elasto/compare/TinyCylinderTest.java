package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.apache.commons.math3.stat.descriptive.SummaryStatistics;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.config.ConfigSchema;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.PhantomConfig;
import org.elasto.phantoms.Phantoms;
import org.elasto.strain.live.LiveImage;
import org.elasto.strain.live.LiveSetup;
import org.elasto.strain.live.LiveSteps;
import org.junit.jupiter.api.Test;

/**
 * A cylinder 1 mm wide and ten times stiffer at 42 mm depth, 10 MHz, noise 25 dB below the echo
 * there (things of about 1 mm at 4 to 5 cm depth are to be seen: common practice, no source).
 * Scored against equal-sized discs all over the same depths, 39 to 45 mm: how many of their
 * standard deviations it lies below their mean in the averaged picture. The scan covers 34 to 49
 * mm.
 */
class TinyCylinderTest {

    private static final int SEEDS = 20;
    private static final int FRAMES = 17;
    private static final double RADIUS = 0.5e-3;
    private static final double DEPTH = 42e-3;
    private static final double PLAIN = 5;
    private static final ScanGeometry DEEP =
            ScanGeometry.linear(48, 780, 40e6, 10e6, 1540, 34e-3, 0.3e-3, 50);

    private static LiveImage lastImage(String scene, int seed, Workers workers) {
        PhantomConfig config =
                ConfigSchema.of(PhantomConfig.class)
                        .parse(
                                PhantomConfig.DEFAULTS,
                                "frames=" + FRAMES + ",centre-frequency=10e6,seed=" + seed);
        Phantom phantom =
                Phantoms.builder(scene, config)
                        .geometry(DEEP)
                        .beam(DEPTH, 4)
                        .noise(25, DEPTH)
                        .workers(workers)
                        .build();
        LiveSteps steps =
                LiveSetup.of(DEEP)
                        .strain("least-squares-line", "window-depth=1.2e-3,averaging-width=0.9e-3")
                        .config("half-life=2")
                        .workers(workers)
                        .withoutPictures()
                        .steps();
        RfFrame frame = phantom.newFrame();
        LiveImage image = null;
        for (int i = 0; i < FRAMES; i++) {
            phantom.read(i, frame);
            image = steps.step(frame);
        }
        // The phantom has come back to rest: the cylinder is where it was made.
        assertEquals(0, phantom.pressAt(FRAMES - 1), 1e-12);
        return image;
    }

    private static double mean(LiveImage image, double x, double z) {
        StrainLayout layout = image.layout();
        int rows = layout.grid().rows();
        double sum = 0;
        int known = 0;
        int all = 0;
        for (int line = 0; line < layout.geometry().lines(); line++) {
            for (int row = 0; row < rows; row++) {
                double dx = layout.geometry().x(line, 0) - x;
                double dz = layout.grid().depth(row) - z;
                if (Math.hypot(dx, dz) <= RADIUS) {
                    all++;
                    if (image.trusted()[line * rows + row]) {
                        sum += image.relative()[line * rows + row];
                        known++;
                    }
                }
            }
        }
        assertTrue(all > 6, "a disc of " + all + " cells");
        return known < 0.8 * all ? Double.NaN : sum / known;
    }

    /** Discs of the depth band, those near the cylinder's place left out if so wished. */
    private static SummaryStatistics discs(LiveImage image, boolean withMiddle, List<Double> each) {
        SummaryStatistics sums = new SummaryStatistics();
        for (int column = -6; column <= 6; column++) {
            for (int row = -3; row <= 3; row++) {
                double x = column * 1e-3;
                double z = DEPTH + row * 1e-3;
                double value = mean(image, x, z);
                boolean near = Math.hypot(x, z - DEPTH) < 2.6e-3;
                if (!Double.isNaN(value) && (withMiddle || !near)) {
                    sums.addValue(value);
                    each.add(value);
                }
            }
        }
        return sums;
    }

    @Test
    void theCylinderIsPlainInEverySeed() {
        int plain = 0;
        double least = Double.POSITIVE_INFINITY;
        try (Workers workers = Workers.threads(2)) {
            for (int seed = 1; seed <= SEEDS; seed++) {
                LiveImage image = lastImage("tiny-stiff-cylinder", seed, workers);
                SummaryStatistics others = discs(image, false, new ArrayList<>());
                assertTrue(others.getN() > 60, "discs: " + others.getN());
                double score =
                        (others.getMean() - mean(image, 0, DEPTH))
                                / Math.sqrt(others.getVariance());
                plain += score >= PLAIN ? 1 : 0;
                least = Math.min(least, score);
            }
        }
        String seen =
                String.format(
                        Locale.ROOT, "plain in %d of %d seeds, at least %.1f", plain, SEEDS, least);
        System.out.println("1 mm cylinder: " + seen);
        assertTrue(plain >= SEEDS - 1, seen);
    }

    @Test
    void nothingIsSeenWhereThereIsNothing() {
        double most = 0;
        int discs = 0;
        try (Workers workers = Workers.threads(2)) {
            for (int seed = 1; seed <= SEEDS; seed++) {
                LiveImage image = lastImage("uniform", seed, workers);
                List<Double> each = new ArrayList<>();
                SummaryStatistics all = discs(image, true, each);
                for (double value : each) {
                    double score = (all.getMean() - value) / Math.sqrt(all.getVariance());
                    most = Math.max(most, score);
                    discs++;
                }
            }
        }
        String seen = String.format(Locale.ROOT, "%d discs, darkest at %.1f", discs, most);
        System.out.println("uniform phantom: " + seen);
        assertTrue(discs > 60 * SEEDS, seen);
        assertTrue(most < PLAIN, seen);
    }
}
