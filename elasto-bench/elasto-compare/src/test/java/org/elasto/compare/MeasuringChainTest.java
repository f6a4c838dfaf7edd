package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayDeque;
import java.util.Locale;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.config.ConfigSchema;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.phantoms.Inclusion;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.PhantomConfig;
import org.elasto.phantoms.Phantoms;
import org.elasto.strain.measure.InclusionOutline;
import org.elasto.strain.measure.InclusionSize;
import org.elasto.strain.measure.Region;
import org.elasto.strain.measure.RegionComparison;
import org.elasto.strain.measure.RegionStatistics;
import org.elasto.strain.picture.Picture;
import org.elasto.strain.picture.PictureConfig;
import org.elasto.strain.picture.PictureScale;
import org.elasto.strain.picture.StrainPicture;
import org.junit.jupiter.api.Test;

/** From echoes over strain to what is measured in regions, with the default estimators. */
class MeasuringChainTest {

    private static final class Chain {
        final RfFrame first;
        final DisplacementField field;
        final StrainImage strain;

        Chain(Phantom phantom) {
            DisplacementEstimator tracker =
                    Catalogue.create(
                            Catalogue.displacementEstimators().preferred(),
                            "",
                            phantom.geometry(),
                            Workers.sequential());
            StrainEstimator differentiator =
                    Catalogue.create(
                            Catalogue.strainEstimators().preferred(),
                            "",
                            tracker.layout(),
                            Workers.sequential());
            first = phantom.newFrame();
            RfFrame second = phantom.newFrame();
            phantom.read(0, first);
            phantom.read(1, second);
            field = tracker.newField();
            strain = differentiator.newImage();
            tracker.estimate(first, second, field);
            differentiator.estimate(field, strain);
        }

        RegionStatistics statistics(Region region) {
            return new RegionStatistics(region, strain.layout(), field.layout()).update(strain);
        }
    }

    private static Phantom phantom(String scene, String parameters) {
        ConfigSchema<PhantomConfig> schema = ConfigSchema.of(PhantomConfig.class);
        return Phantoms.builder(scene, schema.parse(PhantomConfig.DEFAULTS, parameters)).build();
    }

    /** The inclusion of the convex scene is round where it is measured and where it is seen. */
    @Test
    void anInclusionBelowAConvexProbeIsRound() {
        Phantom phantom = phantom("convex-stiff-cylinder", "frames=2,samples=1900,lines=110");
        Inclusion truth = phantom.inclusions().get(0);
        Chain chain = new Chain(phantom);
        InclusionSize size =
                new InclusionOutline(phantom.geometry(), chain.strain.layout().grid(), 0.5e-3)
                        .measure(
                                chain.strain.axial(),
                                chain.strain.trusted(),
                                Region.ellipseMillimetres(0, 26, 4, 4),
                                Region.ellipseMillimetres(10.5, 26, 2.5, 4));
        assertEquals("", size.problem());
        double aspect = size.longAxis() / size.shortAxis();

        StrainPicture drawer =
                new StrainPicture(
                        PictureConfig.DEFAULTS, chain.strain.layout(), Workers.sequential());
        Picture picture = drawer.draw("Convex", chain.first, chain.strain);
        double[] seen = darkBlob(picture, drawer.strainScale(), truth.x() * 1e3, truth.z() * 1e3);
        System.out.printf(
                Locale.ROOT,
                "convex, true diameter 12 mm: outline %.2f mm (%.2f x %.2f, aspect %.3f); dark in"
                        + " the picture %.2f mm, aspect %.3f, middle at %.2f, %.2f mm%n",
                size.equivalentDiameter() * 1e3,
                size.longAxis() * 1e3,
                size.shortAxis() * 1e3,
                aspect,
                seen[0],
                seen[1],
                seen[2],
                seen[3]);
        assertEquals(12e-3, size.equivalentDiameter(), 1e-3);
        assertEquals(12, seen[0], 1);
        assertTrue(aspect < 1.1, "aspect ratio of the outline " + aspect);
        assertTrue(seen[1] < 1.1, "aspect ratio in the picture " + seen[1]);
        assertEquals(0, seen[2], 0.4);
        assertEquals(26, seen[3], 0.4);
    }

    /** Diameter, aspect ratio and middle (mm) of what is darker than half-way around a place. */
    private static double[] darkBlob(Picture picture, PictureScale scale, double x, double z) {
        int column = (int) scale.column(x);
        int row = (int) scale.row(z);
        int inside = picture.argb()[row * picture.width() + column] & 0xff;
        int beside = picture.argb()[row * picture.width() + (int) scale.column(x + 10.5)] & 0xff;
        int level = (inside + beside) / 2;
        assertTrue(inside < level && level < beside, inside + " inside, " + beside + " beside");
        boolean[] found = new boolean[picture.argb().length];
        ArrayDeque<int[]> open = new ArrayDeque<>();
        open.add(new int[] {column, row});
        double[] sums = new double[6];
        while (!open.isEmpty()) {
            int[] at = open.remove();
            int pixel = at[1] * picture.width() + at[0];
            if (!scale.contains(at[0], at[1])
                    || found[pixel]
                    || (picture.argb()[pixel] & 0xff) >= level) {
                continue;
            }
            found[pixel] = true;
            double px = scale.xMillimetres(at[0] + 0.5);
            double pz = scale.zMillimetres(at[1] + 0.5);
            double[] terms = {1, px, pz, px * px, px * pz, pz * pz};
            for (int k = 0; k < 6; k++) {
                sums[k] += terms[k];
            }
            open.add(new int[] {at[0] + 1, at[1]});
            open.add(new int[] {at[0] - 1, at[1]});
            open.add(new int[] {at[0], at[1] + 1});
            open.add(new int[] {at[0], at[1] - 1});
        }
        double cx = sums[1] / sums[0];
        double cz = sums[2] / sums[0];
        double xx = sums[3] / sums[0] - cx * cx;
        double xz = sums[4] / sums[0] - cx * cz;
        double zz = sums[5] / sums[0] - cz * cz;
        double spread = Math.hypot((xx - zz) / 2, xz);
        double area = sums[0] / scale.pixelsPerMillimetre() / scale.pixelsPerMillimetre();
        return new double[] {
            2 * Math.sqrt(area / Math.PI),
            Math.sqrt(((xx + zz) / 2 + spread) / ((xx + zz) / 2 - spread)),
            cx,
            cz
        };
    }

    /**
     * Ratios of the mean strain of two regions of even tissue, whose true ratio is 1, over phantoms
     * of different speckle: their errors against the deviations stated.
     */
    @Test
    void statedUncertaintyHoldsForTrackedEchoes() {
        Region one = Region.ellipseMillimetres(-3, 12, 2, 2);
        Region two = Region.ellipseMillimetres(3, 12, 2, 2);
        Region three = Region.ellipseMillimetres(-3, 19, 2, 2);
        Region four = Region.ellipseMillimetres(3, 19, 2, 2);
        double squares = 0;
        int held = 0;
        int count = 0;
        for (int seed = 1; seed <= 14; seed++) {
            Chain chain =
                    new Chain(
                            phantom(
                                    "uniform",
                                    "frames=2,lines=40,samples=1300,snr=20,seed=" + seed));
            Region[][] pairs = {{one, two}, {three, four}};
            for (Region[] pair : pairs) {
                RegionComparison both =
                        RegionComparison.of(chain.statistics(pair[0]), chain.statistics(pair[1]));
                squares += Math.pow((both.ratio() - 1) / both.ratioDeviation(), 2);
                held += both.ratioLow() <= 1 && 1 <= both.ratioHigh() ? 1 : 0;
                count++;
            }
        }
        double ratio = Math.sqrt(squares / count);
        System.out.printf(
                Locale.ROOT,
                "tracked: seen / stated deviation of the strain ratio %.2f; held in %d of %d%n",
                ratio,
                held,
                count);
        // A root mean square of 28 has a standard error of 13 %.
        assertTrue(ratio < 1.4, "seen over stated " + ratio);
        assertTrue(held >= count - 5, "held in " + held + " of " + count);
    }
}
