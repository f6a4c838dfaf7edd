package org.elasto.strain.quality;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
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

/**
 * The metrics that look at every place, against what their providers say of them, place by place in
 * double precision, on images with everything that can occur in them.
 */
class MetricsAgainstReferencesTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(9, 1000, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    private static final RowGrid GRID = new RowGrid(37, 1e-3, 0.2e-3);

    /** Other rows than the field's: between them, and beyond its ends. */
    private static final RowGrid OTHER = new RowGrid(61, 0.8e-3, 0.13e-3);

    private static final FieldLayout FIELD =
            new FieldLayout(GEOMETRY, GRID, false, ErrorCorrelation.INDEPENDENT);
    private static final RfFrame FRAME = RfFrame.allocate(GEOMETRY, SampleType.INT16);

    private final DisplacementField field = new DisplacementField(FIELD);
    private StrainImage image;

    /** Tissue with noise, of which some places are unknown, untrusted, still, or exact. */
    private void draw(Random random, boolean sameRows) {
        image = new StrainImage(new StrainLayout(GEOMETRY, sameRows ? GRID : OTHER, false, 1.5e-3));
        for (int i = 0; i < field.correlation().length; i++) {
            field.correlation()[i] = random.nextInt(10) == 0 ? 0 : 1 - random.nextFloat() / 2;
        }
        for (int i = 0; i < image.axial().length; i++) {
            image.axial()[i] = (float) (-0.01 + 0.004 * random.nextGaussian());
            image.axialDeviation()[i] = 0.01f * random.nextFloat();
            image.trusted()[i] = random.nextInt(4) > 0;
            switch (random.nextInt(16)) {
                case 0 -> image.axial()[i] = Float.NaN;
                case 1 -> image.axialDeviation()[i] = Float.NaN;
                case 2 -> image.axialDeviation()[i] = -1e-3f;
                case 3 -> image.axial()[i] = 0;
                case 4 -> image.axialDeviation()[i] = 0;
                case 5 -> {
                    image.axial()[i] = 0;
                    image.axialDeviation()[i] = 0;
                }
                default -> {}
            }
        }
    }

    private QualityMetric metric(String name) {
        return Catalogue.create(
                Catalogue.qualityMetrics().get(name),
                "",
                FIELD,
                image.layout(),
                Workers.sequential());
    }

    /** Match correlation at a row of the image, linear along depth; NaN half a row off the ends. */
    private double match(int place) {
        int rows = image.rows();
        double row = GRID.rowAt(image.layout().grid().depth(place % rows));
        if (row < -0.5 || row > GRID.rows() - 0.5) {
            return Double.NaN;
        }
        double inside = Math.min(Math.max(row, 0), GRID.rows() - 1.0);
        int above = (int) Math.min(inside, GRID.rows() - 2.0);
        int at = place / rows * GRID.rows() + above;
        double upper = field.correlation()[at];
        double lower = field.correlation()[at + 1];
        return upper + (inside - above) * (lower - upper);
    }

    private boolean isKnown(int i) {
        return !Float.isNaN(image.axial()[i]) && image.axialDeviation()[i] >= 0;
    }

    private static double ramp(double value, double zero, double one) {
        return Math.min(1, Math.max(0, (value - zero) / (one - zero)));
    }

    private void check(QualityMetric metric, double expected, double[] expectedMap) {
        float[] map = new float[expectedMap.length];
        assertEquals(expected, metric.score(FRAME, FRAME, field, image, map), 1e-6);
        // The score does not depend on whether a map is wanted.
        assertEquals(
                metric.score(FRAME, FRAME, field, image, map),
                metric.score(FRAME, FRAME, field, image, null));
        assertTrue(map.length >= 9 * 37);
        for (int i = 0; i < map.length; i++) {
            assertEquals(expectedMap[i], map[i], 1e-6, "place " + i);
        }
    }

    @Property(tries = 30, seed = "71")
    void matchCorrelationIsTheMeanWhereStrainIsKnown(@ForAll long seed, @ForAll boolean sameRows) {
        draw(new Random(seed), sameRows);
        double[] map = new double[image.axial().length];
        double sum = 0;
        int count = 0;
        for (int i = 0; i < map.length; i++) {
            map[i] = Float.isNaN(image.axial()[i]) ? Double.NaN : match(i);
            if (!Double.isNaN(map[i])) {
                sum += map[i];
                count++;
            }
        }
        check(metric("match-correlation"), sum / count, map);
    }

    @Property(tries = 30, seed = "72")
    void predictedSignalToNoiseIsThatOfUsablePlaces(@ForAll long seed) {
        draw(new Random(seed), true);
        double[] map = new double[image.axial().length];
        double sum = 0;
        double squares = 0;
        int count = 0;
        for (int i = 0; i < map.length; i++) {
            map[i] = Double.NaN;
            if (isKnown(i) && image.trusted()[i]) {
                double size = Math.abs(image.axial()[i]);
                double deviation = image.axialDeviation()[i];
                map[i] = size == 0 ? 0 : size / (size + 5 * deviation);
                sum += image.axial()[i];
                squares += deviation * deviation;
                count++;
            }
        }
        double mean = Math.abs(sum / count);
        double score = mean / (mean + 5 * Math.sqrt(squares / count));
        check(metric("predicted-signal-to-noise"), score, map);
    }

    @Property(tries = 30, seed = "73")
    void usableMotionIsTheWorseOfMotionAndMatch(@ForAll long seed, @ForAll boolean sameRows) {
        draw(new Random(seed), sameRows);
        double[] map = new double[image.axial().length];
        double[] matches = new double[map.length];
        double squares = 0;
        double errors = 0;
        for (int i = 0; i < map.length; i++) {
            if (!isKnown(i)) {
                continue;
            }
            double match = match(i);
            double size = Math.abs(image.axial()[i]);
            double deviation = image.axialDeviation()[i];
            matches[i] = Double.isNaN(match) ? 0 : match;
            double enough = size == 0 ? 0 : ramp(size / deviation, 1, 5);
            map[i] = Math.min(enough, ramp(matches[i], 0.5, 0.9));
            if (image.trusted()[i]) {
                squares += size * size;
                errors += deviation * deviation;
            }
        }
        // The half that matches best, in steps of a thousandth.
        double[] steps = Arrays.stream(matches).map(m -> Math.rint(1000 * m) / 1000).toArray();
        Arrays.sort(steps);
        int half = (steps.length + 1) / 2;
        double best = Arrays.stream(steps, steps.length - half, steps.length).average().orElse(0);
        double enough = ramp(Math.sqrt(Math.max(0, squares - errors)) / Math.sqrt(errors), 1, 5);
        float[] actual = new float[map.length];
        QualityMetric metric = metric("usable-motion");
        // A correlation half-way between two steps may count as either, two or three of hundreds.
        double score = metric.score(FRAME, FRAME, field, image, actual);
        assertEquals(Math.min(enough, ramp(best, 0.5, 0.9)), score, 3 / 400.0 * 1e-3);
        check(metric, score, map);
    }

    @Property(tries = 30, seed = "74")
    void agreementIsTheCorrelationOfPlacesTrustedInBoth(@ForAll long seed) {
        Random random = new Random(seed);
        draw(random, true);
        QualityMetric metric = metric("consecutive-agreement");
        assertTrue(Double.isNaN(metric.score(FRAME, FRAME, field, image, null)));
        for (int pair = 0; pair < 3; pair++) {
            StrainImage before = image;
            draw(random, true);
            double product = 0;
            double squares = 0;
            double squaresBefore = 0;
            for (int i = 0; i < image.axial().length; i++) {
                double now = image.trusted()[i] ? image.axial()[i] : Double.NaN;
                double last = before.trusted()[i] ? before.axial()[i] : Double.NaN;
                if (!Double.isNaN(now) && !Double.isNaN(last)) {
                    product += now * last;
                    squares += now * now;
                    squaresBefore += last * last;
                }
            }
            assertEquals(
                    Math.abs(product) / Math.sqrt(squares * squaresBefore),
                    metric.score(FRAME, FRAME, field, image, null),
                    1e-9);
        }
    }
}
