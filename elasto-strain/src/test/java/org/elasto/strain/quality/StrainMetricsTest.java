package org.elasto.strain.quality;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.strain.measure.Region;
import org.elasto.strain.measure.RegionComparison;
import org.elasto.strain.measure.RegionStatistics;
import org.junit.jupiter.api.Test;

/** The metrics that look at strain and field, on numbers done by hand. */
class StrainMetricsTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(60, 1000, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    private static final RowGrid GRID = new RowGrid(80, 1e-3, 0.2e-3);
    private static final FieldLayout FIELD =
            new FieldLayout(GEOMETRY, GRID, false, ErrorCorrelation.INDEPENDENT);
    private static final StrainLayout STRAIN = new StrainLayout(GEOMETRY, GRID, false, 1e-3);
    private static final RfFrame FRAME = RfFrame.allocate(GEOMETRY, SampleType.INT16);

    private final DisplacementField field = new DisplacementField(FIELD);
    private final StrainImage image = new StrainImage(STRAIN);

    private static QualityMetric metric(String name, String parameters) {
        return Catalogue.create(
                Catalogue.qualityMetrics().get(name),
                parameters,
                FIELD,
                STRAIN,
                Workers.sequential());
    }

    private double score(QualityMetric metric) {
        return metric.score(FRAME, FRAME, field, image, null);
    }

    private void fill(double strain, double noise, double deviation, double match, long seed) {
        Random random = new Random(seed);
        for (int i = 0; i < STRAIN.planeSize(); i++) {
            image.axial()[i] = (float) (strain + noise * random.nextGaussian());
        }
        Arrays.fill(image.axialDeviation(), (float) deviation);
        Arrays.fill(image.trusted(), true);
        Arrays.fill(field.correlation(), (float) match);
    }

    // ---------------------------------------------------------------- signal to noise

    @Test
    void predictedSignalToNoiseIsMeanOverDeviation() {
        fill(-0.01, 0, 0.002, 1, 0);
        for (int i = 0; i < 100; i++) {
            image.trusted()[i] = false;
            image.axial()[i] = 3;
        }
        image.axialDeviation()[200] = Float.NaN;
        QualityMetric metric = metric("predicted-signal-to-noise", "");
        float[] map = new float[STRAIN.planeSize()];
        // A ratio of 5 scores one half by default.
        assertEquals(0.5, metric.score(FRAME, FRAME, field, image, map), 1e-6);
        assertTrue(Float.isNaN(map[99]) && Float.isNaN(map[200]));
        assertEquals(0.5f, map[100], 1e-6f);
        assertEquals(5 / 7.0, score(metric("predicted-signal-to-noise", "ratio-of-half=2")), 1e-6);
        // Deviations of 1 and 7 have a root mean square of 5.
        for (int i = 0; i < STRAIN.planeSize(); i++) {
            image.axialDeviation()[i] = i % 2 == 0 ? 1e-3f : 7e-3f;
        }
        assertEquals(2 / 7.0, score(metric), 1e-3);
        fill(0, 0, 0, 1, 0);
        assertEquals(0, score(metric));
        Arrays.fill(image.trusted(), false);
        assertTrue(Double.isNaN(score(metric)));
    }

    // ---------------------------------------------------------------- agreement

    /** Even tissue whose noise is independent from image to image: 1 / (1 + 1 / q²). */
    @Test
    void agreementIsThatOfTheSignalToNoise() {
        for (double q : new double[] {0.5, 2, 10}) {
            QualityMetric metric = metric("consecutive-agreement", "");
            fill(-0.01, 0.01 / q, 1e-3, 1, 1);
            assertTrue(Double.isNaN(score(metric)), "the first has nothing before it");
            // Released and three times as much.
            fill(0.03, 0.03 / q, 1e-3, 1, 2);
            assertEquals(1 / (1 + 1 / (q * q)), score(metric), 0.02, "ratio " + q);
        }
    }

    @Property(tries = 20, seed = "51")
    void agreementFeelsNeitherSignNorGain(
            @ForAll @DoubleRange(min = -20, max = 20) double gain, @ForAll long seed) {
        double factor = Math.abs(gain) < 0.05 ? 0.05 : gain;
        fill(-0.004, 0.004, 1e-3, 1, seed);
        float[] first = image.axial().clone();
        QualityMetric metric = metric("consecutive-agreement", "");
        score(metric);
        for (int i = 0; i < first.length; i++) {
            image.axial()[i] = (float) (factor * first[i]);
        }
        assertEquals(1, score(metric), 1e-6);
        // Against another image: the same with and without the gain.
        fill(-0.004, 0.004, 1e-3, 1, seed + 1);
        float[] second = image.axial().clone();
        double gained = score(metric);
        metric.reset();
        System.arraycopy(first, 0, image.axial(), 0, first.length);
        assertTrue(Double.isNaN(score(metric)));
        System.arraycopy(second, 0, image.axial(), 0, first.length);
        assertEquals(score(metric), gained, 1e-5);
    }

    @Test
    void agreementNeedsPlacesTrustedInBoth() {
        QualityMetric metric = metric("consecutive-agreement", "least-overlap=0.4");
        assertTrue(metric.hasMemory());
        fill(-0.01, 0, 1e-3, 1, 0);
        int size = STRAIN.planeSize();
        Arrays.fill(image.trusted(), 0, size / 2, false);
        score(metric);
        assertEquals(1, score(metric), 1e-9);
        Arrays.fill(image.trusted(), 0, size, true);
        Arrays.fill(image.trusted(), size / 2, size, false);
        assertTrue(Double.isNaN(score(metric)), "nothing trusted in both");
        assertEquals(1, score(metric), 1e-9);
        fill(0, 0, 1e-3, 1, 0);
        assertTrue(Double.isNaN(score(metric)), "no strain, no correlation");
    }

    // ---------------------------------------------------------------- usable motion

    @Test
    void usableMotionRisesWithStrainAndFallsWithCorrelation() {
        QualityMetric metric = metric("usable-motion", "");
        // Ratio 3 lies half-way from 1 to 5, and correlation 0.7 from 0.5 to 0.9.
        fill(-Math.sqrt(10) * 1e-3, 0, 1e-3, 1, 0);
        assertEquals(0.5, score(metric), 1e-5);
        fill(0.02, 0, 1e-3, 0.7, 0);
        float[] map = new float[STRAIN.planeSize()];
        image.axial()[17] = Float.NaN;
        image.axial()[18] = -0.003f;
        assertEquals(0.5, metric.score(FRAME, FRAME, field, image, map), 1e-3);
        assertEquals(0, map[17]);
        assertEquals(0.5f, map[18], 1e-5f);
        fill(0.02, 0, 1e-3, 0.95, 0);
        assertEquals(1, score(metric));
        fill(0, 1e-3, 1e-3, 0.99, 3);
        assertTrue(score(metric) < 0.01, "noise alone is no motion");
        fill(0.02, 0, 1e-3, 0.3, 0);
        assertEquals(0, score(metric));
        image.clear();
        assertEquals(0, score(metric));
    }

    @Test
    void whatLiesBehindBoneDoesNotCount() {
        QualityMetric metric = metric("usable-motion", "");
        fill(-0.01, 0, 1e-3, 0.95, 0);
        for (int i = 0; i < STRAIN.planeSize(); i++) {
            if (i % 80 >= 40) {
                image.axial()[i] = Float.NaN;
                image.trusted()[i] = false;
                field.markUnknown(i);
            }
        }
        assertEquals(1, score(metric));
        QualityMetric strict = metric("usable-motion", "counted-share=0.7");
        // Of 0.7, 0.5 matches by 0.95: a mean of 0.679.
        assertEquals((0.95 * 0.5 / 0.7 - 0.5) / 0.4, score(strict), 0.01);
    }

    @Test
    void rangesTheWrongWayRoundAreRefused() {
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> metric("usable-motion", "least-ratio=6"))
                        .getMessage();
        assertTrue(message.contains("good-ratio is 5.0") && message.contains("6.0"), message);
    }

    // ---------------------------------------------------------------- regions

    @Test
    void regionMetricsScoreWhatRegionsMeasure() {
        fill(-0.01, 1e-3, 1e-3, 1, 4);
        for (int i = 0; i < STRAIN.planeSize() / 2; i++) {
            image.axial()[i] *= 0.4f;
        }
        String left = "ellipse -4 9 3 4";
        String right = "polygon 2 4 7 4 7 14 2 14";
        RegionStatistics a = new RegionStatistics(Region.parse(left), STRAIN, FIELD).update(image);
        RegionStatistics b = new RegionStatistics(Region.parse(right), STRAIN, FIELD).update(image);
        RegionComparison both = RegionComparison.of(a, b);
        String regions = "inside=" + left + ",beside=" + right;
        double contrast = both.contrastToNoise();
        assertTrue(contrast > 5 && contrast < 10, "contrast to noise " + contrast);
        assertEquals(contrast / (contrast + 5), score(metric("region-contrast-to-noise", regions)));
        assertEquals(
                both.ratio() / (both.ratio() + 1), score(metric("region-strain-ratio", regions)));
        assertEquals(0.4, both.ratio(), 0.02);
        double snr = b.signalToNoise();
        assertEquals(10, snr, 0.7);
        assertEquals(
                snr / (snr + 10),
                score(metric("region-signal-to-noise", "ratio-of-half=10,region=" + right)));
        Arrays.fill(image.trusted(), false);
        assertTrue(Double.isNaN(score(metric("region-strain-ratio", regions))));
    }

    @Test
    void regionsLeftOpenAreTheTwoHalves() {
        fill(-0.01, 0, 1e-3, 1, 4);
        for (int i = 0; i < STRAIN.planeSize() / 2; i++) {
            image.axial()[i] *= 0.5f;
        }
        assertEquals(0.5 / 1.5, score(metric("region-strain-ratio", "")), 1e-6);
    }

    @Test
    void badRegionsAreRefusedByName() {
        String outside =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> metric("region-strain-ratio", "inside=ellipse 0 90 3 3"))
                        .getMessage();
        assertTrue(outside.contains("ellipse 0 90 3 3 mm lies outside"), outside);
        String text =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> metric("region-signal-to-noise", "region=ellipse 0 9"))
                        .getMessage();
        assertTrue(text.contains("region-signal-to-noise") && text.contains("'ellipse 0 9'"), text);
    }

    @Test
    void mapsAreOnlyWrittenByMetricsThatHaveOne() {
        fill(-0.01, 0, 1e-3, 1, 0);
        float[] map = new float[3];
        float[] untouched = map.clone();
        QualityMetric metric = metric("region-strain-ratio", "");
        metric.score(FRAME, FRAME, field, image, map);
        assertArrayEquals(untouched, map);
    }
}
