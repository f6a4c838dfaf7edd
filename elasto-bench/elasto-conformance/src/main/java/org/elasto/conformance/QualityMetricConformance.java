package org.elasto.conformance;

import java.util.Arrays;
import java.util.function.Consumer;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.QualityMetricProvider;
import org.junit.jupiter.api.Test;

/**
 * What every quality metric holds to. Extend it and return the provider; the checks are inherited
 * and run with JUnit 5.
 *
 * <p>Frames are phantoms of speckle; displacement and strain are the truth with errors as large as
 * predicted, so that no estimator has a part in it. What a score means is the metric's own affair;
 * checked is that it is one: from 0 to 1, of what it was given, and no better where nothing is
 * known.
 */
public abstract class QualityMetricConformance {

    /** For subclasses. */
    protected QualityMetricConformance() {}

    /**
     * The provider under test.
     *
     * @return the provider
     */
    protected abstract QualityMetricProvider<?> provider();

    /**
     * Parameters that differ from the defaults.
     *
     * @return as for {@link org.elasto.api.config.ConfigSchema#parse(Record, String)}; by default
     *     none
     */
    protected String parameters() {
        return "";
    }

    /**
     * The scan.
     *
     * @return by default 20 lines, 0.3 mm apart, of 900 samples at 40 MHz; 7.5 MHz
     */
    protected ScanGeometry geometry() {
        return ScanGeometry.linear(20, 900, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    }

    private void run(String check, Consumer<Tally> body) {
        Tally tally = new Tally(provider().name() + ", " + check);
        body.accept(tally);
        tally.finish();
    }

    private ProviderChecks providerChecks() {
        return new ProviderChecks(provider(), QualityMetricProvider.class);
    }

    /** Everything a metric is given. */
    private record Pair(
            RfFrame reference,
            RfFrame moved,
            DisplacementField field,
            StrainImage strain,
            String condition) {

        double score(QualityMetric metric, float[] map) {
            try {
                return metric.score(reference, moved, field, strain, map);
            } catch (RuntimeException e) {
                throw new AssertionError("score threw " + e + " [" + condition + "]", e);
            }
        }
    }

    private FieldLayout field() {
        ScanGeometry g = geometry();
        double depth = g.lastDepth() - g.firstDepth();
        return new FieldLayout(
                g,
                new RowGrid((int) (depth / 0.2e-3), g.firstDepth(), 0.2e-3),
                false,
                new ErrorCorrelation(ErrorCorrelation.Shape.GAUSSIAN, 2e-3));
    }

    /** Other rows than the field's, as a strain estimator may choose. */
    private StrainLayout strain() {
        RowGrid grid = field().grid();
        return new StrainLayout(
                geometry(),
                new RowGrid(grid.rows() / 2 - 4, grid.depth(4), 2 * grid.spacing()),
                false,
                1.5e-3);
    }

    private QualityMetric make(Workers workers) {
        return Catalogue.create(provider(), parameters(), field(), strain(), workers);
    }

    private float[] map() {
        return new float[strain().planeSize()];
    }

    /** Pressed speckle; a share of it replaced, a share of the places unknown. */
    private Pair pair(double strain, double replaced, double unknown, long seed) {
        Scene scene =
                Scenes.phantom(
                        geometry(),
                        "pressed by " + strain + ", replaced " + replaced,
                        seed,
                        builder ->
                                builder.press(0, strain)
                                        .sliceDrift(0, replaced)
                                        .noise(30, geometry().lastDepth() / 2));
        DisplacementField field = Fields.field(field(), (x, z) -> -strain * z, (x, z) -> 0, 0.5e-6);
        Arrays.fill(field.correlation(), (float) (0.99 * (1 - replaced)));
        Fields.addErrors(field, seed);
        Fields.forget(field, unknown, seed);
        StrainImage image = new StrainImage(strain());
        java.util.Random random = new java.util.Random(seed);
        for (int i = 0; i < image.axial().length; i++) {
            if (random.nextDouble() >= unknown) {
                image.axial()[i] = (float) (-strain + 3e-4 * random.nextGaussian());
                image.axialDeviation()[i] = 3e-4f;
                image.trusted()[i] = true;
            }
        }
        return new Pair(
                scene.referenceFrame(),
                scene.movedFrame(),
                field,
                image,
                scene.condition() + ", share of unknown places " + unknown);
    }

    private Pair good() {
        return pair(0.005, 0, 0.02, 1);
    }

    private Pair[] variety() {
        return new Pair[] {
            good(),
            pair(0, 0, 0, 2),
            pair(0.01, 0.3, 0.4, 3),
            pair(-0.003, 0.05, 0.1, 4),
            pair(0.02, 1, 0.95, 5)
        };
    }

    private Pair dark() {
        Pair good = good();
        return new Pair(
                good.reference,
                good.moved,
                new DisplacementField(field()),
                new StrainImage(strain()),
                "nothing known, " + good.condition);
    }

    /** Scores are from 0 to 1 or NaN; so are the values of a map, all of which are written. */
    @Test
    public final void scoresAreWithinTheirRange() {
        run(
                "range of scores",
                tally -> {
                    QualityMetric metric = make(Workers.sequential());
                    int known = 0;
                    for (Pair pair : variety()) {
                        float[] map = map();
                        Arrays.fill(map, 1e30f);
                        double score = pair.score(metric, map);
                        known += Double.isNaN(score) ? 0 : 1;
                        tally.expect(
                                Double.isNaN(score) || score >= 0 && score <= 1,
                                "score " + score,
                                "0 to 1, or NaN",
                                pair.condition);
                        for (int i = 0; metric.hasMap() && i < map.length; i++) {
                            boolean right = Float.isNaN(map[i]) || map[i] >= 0 && map[i] <= 1;
                            tally.expect(
                                    right,
                                    FieldRules.place(i, strain().grid().rows()) + " is " + map[i],
                                    "0 to 1, or NaN, at every place",
                                    pair.condition);
                        }
                    }
                    tally.atLeast("pairs with a score", known, 1, "five pairs, seeds 1 to 5");
                });
    }

    /** Without a known place there is no score, or one no better than that of a good pair. */
    @Test
    public final void nothingKnownIsNoBetter() {
        run(
                "nothing known",
                tally -> {
                    QualityMetric metric = make(Workers.sequential());
                    double best = good().score(metric, null);
                    if (metric.hasMemory()) {
                        // Nothing came before the first.
                        best = good().score(metric, null);
                    }
                    double score = dark().score(metric, map());
                    tally.expect(
                            Double.isNaN(score) || score >= 0 && score <= best,
                            "score " + score,
                            "NaN, or from 0 to the good pair's " + best,
                            dark().condition);
                });
    }

    /**
     * With a map or without, before and after other pairs, by whichever workers: the same. A metric
     * with memory is reset before each.
     */
    @Test
    public final void scoresDoNotDependOnCallsOrWorkers() {
        run(
                "repeated calls and workers",
                tally -> {
                    QualityMetric metric = make(Workers.sequential());
                    float[] map = map();
                    double score = good().score(metric, map);
                    for (Pair pair : variety()) {
                        pair.score(metric, map());
                        same(tally, score, map, metric, "after " + pair.condition);
                    }
                    dark().score(metric, null);
                    same(tally, score, map, metric, "after a pair of which nothing is known");
                    for (int count : new int[] {1, 2, 5}) {
                        try (Workers workers = Workers.threads(count)) {
                            same(tally, score, map, make(workers), count + " workers");
                        }
                    }
                });
    }

    private void same(
            Tally tally, double score, float[] map, QualityMetric metric, String condition) {
        float[] again = map();
        resetIfItRemembers(metric);
        double other = good().score(metric, again);
        tally.expect(Double.compare(score, other) == 0, "score " + other, "" + score, condition);
        resetIfItRemembers(metric);
        double withoutMap = good().score(metric, null);
        tally.expect(
                Double.compare(score, withoutMap) == 0,
                "score " + withoutMap + " without a map",
                "" + score,
                condition);
        if (metric.hasMap()) {
            String difference = Bits.difference("map", map, again, strain().grid().rows());
            tally.count(map.length);
            tally.expect(
                    difference == null, String.valueOf(difference), "the same bits", condition);
        }
    }

    private static void resetIfItRemembers(QualityMetric metric) {
        if (metric.hasMemory()) {
            metric.reset();
        }
    }

    /** Once reset, a metric scores a series of pairs as a new one does, and so it does again. */
    @Test
    public final void resetForgets() {
        run(
                "reset",
                tally -> {
                    QualityMetric metric = make(Workers.sequential());
                    double[] first = series(metric);
                    int known = 0;
                    for (double score : first) {
                        known += Double.isNaN(score) ? 0 : 1;
                    }
                    tally.atLeast("scores in the series", known, 1, "five pairs, the first twice");
                    metric.reset();
                    series(tally, first, metric, "after a reset");
                    dark().score(metric, null);
                    metric.reset();
                    series(tally, first, metric, "after a pair of which nothing is known");
                    series(tally, first, make(Workers.sequential()), "newly made");
                });
    }

    private double[] series(QualityMetric metric) {
        Pair[] pairs = variety();
        double[] scores = new double[pairs.length + 1];
        scores[0] = good().score(metric, null);
        for (int i = 0; i < pairs.length; i++) {
            scores[i + 1] = pairs[i].score(metric, null);
        }
        return scores;
    }

    private void series(Tally tally, double[] expected, QualityMetric metric, String condition) {
        double[] scores = series(metric);
        for (int i = 0; i < scores.length; i++) {
            tally.expect(
                    Double.compare(scores[i], expected[i]) == 0,
                    "score " + scores[i] + " of pair " + i,
                    "" + expected[i],
                    condition);
        }
    }

    /** Frames, field and strain stay as they are; so does the map of a metric without one. */
    @Test
    public final void inputsAreNotModified() {
        run(
                "inputs",
                tally -> {
                    QualityMetric metric = make(Workers.sequential());
                    Pair pair = good();
                    float[] line = new float[geometry().samples()];
                    long reference = Bits.checksum(pair.reference, line);
                    long moved = Bits.checksum(pair.moved, line);
                    DisplacementField field = Bits.copy(pair.field);
                    StrainImage strain = Bits.copy(pair.strain);
                    float[] map = map();
                    Arrays.fill(map, 7);
                    pair.score(metric, map);
                    boolean frames =
                            Bits.checksum(pair.reference, line) == reference
                                    && Bits.checksum(pair.moved, line) == moved;
                    tally.expect(frames, "frames changed", "frames as they were", pair.condition);
                    String changed = Bits.difference(field, pair.field);
                    changed = changed == null ? Bits.difference(strain, pair.strain) : changed;
                    tally.expect(
                            changed == null,
                            String.valueOf(changed),
                            "field and strain as they were",
                            pair.condition);
                    for (int i = 0; !metric.hasMap() && i < map.length; i++) {
                        tally.expect(
                                map[i] == 7,
                                "map at " + i + " written with " + map[i],
                                "an untouched map, since hasMap() says there is none",
                                pair.condition);
                    }
                });
    }

    /** Once warm, a call takes nothing from the heap. */
    @Test
    public final void nothingIsAllocated() {
        run(
                "allocation",
                tally -> {
                    QualityMetric metric = make(Workers.sequential());
                    Pair pair = good();
                    float[] map = map();
                    double bytes = Allocation.bytesPerCall(() -> pair.score(metric, map));
                    tally.atMost("bytes allocated by a call once warm", bytes, 0, pair.condition);
                });
    }

    /** Fields, images and maps of other shapes are refused with both sizes. */
    @Test
    public final void otherShapesAreRefused() {
        run(
                "other shapes",
                tally -> {
                    QualityMetric metric = make(Workers.sequential());
                    Pair pair = good();
                    FieldLayout right = field();
                    RowGrid grid = right.grid();
                    DisplacementField field =
                            new DisplacementField(
                                    new FieldLayout(
                                            right.geometry(),
                                            new RowGrid(
                                                    grid.rows() + 1,
                                                    grid.firstDepth(),
                                                    grid.spacing()),
                                            false,
                                            right.axialErrors()));
                    RowGrid rows = strain().grid();
                    StrainImage strain =
                            new StrainImage(
                                    new StrainLayout(
                                            geometry(),
                                            new RowGrid(
                                                    rows.rows() + 1,
                                                    rows.firstDepth(),
                                                    rows.spacing()),
                                            false,
                                            1.5e-3));
                    Refusals.expect(
                            tally,
                            "field with a row too many",
                            () ->
                                    metric.score(
                                            pair.reference, pair.moved, field, pair.strain, null),
                            grid.rows() + 1,
                            grid.rows());
                    Refusals.expect(
                            tally,
                            "strain image with a row too many",
                            () ->
                                    metric.score(
                                            pair.reference, pair.moved, pair.field, strain, null),
                            rows.rows() + 1,
                            rows.rows());
                    if (metric.hasMap()) {
                        int size = strain().planeSize();
                        Refusals.expect(
                                tally,
                                "map that is too short",
                                () ->
                                        metric.score(
                                                pair.reference,
                                                pair.moved,
                                                pair.field,
                                                pair.strain,
                                                new float[size - 1]),
                                size - 1,
                                size);
                    }
                });
    }

    /** Name, summary, source, what 0 and 1 mean, and what is said of each parameter. */
    @Test
    public final void providerDescribesItself() {
        run(
                "self-description",
                tally -> {
                    providerChecks().selfDescription(tally);
                    providerChecks().oneLine(tally, "meaning of 0", provider().meaningOfZero());
                    providerChecks().oneLine(tally, "meaning of 1", provider().meaningOfOne());
                });
    }

    /** Config to text and back; wrong text is refused in words. */
    @Test
    public final void configSurvivesText() {
        run("config as text", providerChecks()::parameters);
    }

    /** The service loader finds the provider on class path and module path. */
    @Test
    public final void providerIsRegistered() {
        run(
                "registration",
                tally -> providerChecks().registration(tally, Catalogue.qualityMetrics()));
    }
}
