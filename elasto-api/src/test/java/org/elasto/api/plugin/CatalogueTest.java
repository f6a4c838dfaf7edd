package org.elasto.api.plugin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;
import net.jqwik.api.constraints.Size;
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
import org.elasto.api.config.ConfigSchema;
import org.elasto.api.config.NoParameters;
import org.elasto.api.config.Parameter;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.function.Executable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class CatalogueTest {

    private record Fake(String name, boolean preferred) implements PluginProvider<NoParameters> {
        @Override
        public String summary() {
            return "nothing";
        }

        @Override
        public String source() {
            return "nowhere";
        }

        @Override
        public NoParameters defaults() {
            return new NoParameters();
        }
    }

    private static Catalogue<Fake> of(Fake... providers) {
        return Catalogue.of("toy", List.of(providers));
    }

    private static Fake plain(String name) {
        return new Fake(name, false);
    }

    @Test
    void providersAreFoundByName() {
        Fake b = plain("b");
        Fake a = plain("a-2");
        Catalogue<Fake> catalogue = of(b, a);
        assertEquals("toy", catalogue.contract());
        assertEquals(List.of("a-2", "b"), catalogue.names());
        assertEquals(List.of(a, b), catalogue.providers());
        assertSame(a, catalogue.get("a-2"));
        assertSame(b, catalogue.get("b"));
    }

    @Property(seed = "1", tries = 100)
    void anySetOfValidNamesIsListedSorted(@ForAll("names") @Size(max = 20) Set<String> names) {
        Catalogue<Fake> catalogue =
                Catalogue.of("toy", names.stream().map(CatalogueTest::plain).toList());
        assertEquals(names.stream().sorted().toList(), catalogue.names());
        assertEquals(catalogue.names(), catalogue.providers().stream().map(Fake::name).toList());
        for (String name : names) {
            assertEquals(name, catalogue.get(name).name());
        }
    }

    @Provide
    Arbitrary<Set<String>> names() {
        Arbitrary<String> first = Arbitraries.strings().withCharRange('a', 'z').ofLength(1);
        Arbitrary<String> word =
                Arbitraries.strings()
                        .withCharRange('a', 'z')
                        .withCharRange('0', '9')
                        .ofMinLength(1)
                        .ofMaxLength(4);
        return word.list()
                .ofMinSize(1)
                .ofMaxSize(3)
                .flatMap(words -> first.map(letter -> letter + String.join("-", words)))
                .set();
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "",
                " ",
                "A",
                "camelCase",
                "1st",
                "-a",
                "a-",
                "a--b",
                "a_b",
                "a b",
                "a,b",
                "ä",
                "a\n"
            })
    void badNamesAreRefused(String bad) {
        String message =
                "toy "
                        + Fake.class.getName()
                        + " is named '"
                        + bad
                        + "'; a name is lower-case words joined by hyphens";
        refused(message, () -> of(plain("good"), plain(bad)));
    }

    @Test
    void noNameIsRefused() {
        refused("is named 'null'", () -> of(plain(null)));
    }

    @Test
    void twoOfOneNameAreRefusedWithBothClasses() {
        refused(
                "two providers are named 'same': "
                        + Fake.class.getName()
                        + " and "
                        + Fake.class.getName(),
                () -> of(plain("same"), plain("other"), plain("same")));
    }

    @Test
    void anUnknownNameIsAnsweredWithTheNames() {
        Catalogue<Fake> catalogue = of(plain("b"), plain("a"));
        refused("there is no toy named 'c'; there are: a, b", () -> catalogue.get("c"));
        refused("there is no toy named 'A'; there are: a, b", () -> catalogue.get("A"));
        refused("there is no toy named 'null'; there are: a, b", () -> catalogue.get(null));
        refused("there is no toy named 'c'; none is installed", () -> of().get("c"));
    }

    @Test
    void onePreferredProviderIsTaken() {
        Fake favourite = new Fake("m", true);
        assertSame(favourite, of(plain("a"), favourite, plain("z")).preferred());
    }

    @Test
    void withoutAPreferredOneANameIsAskedFor() {
        refused(
                "no toy is preferred; name one of: a, b",
                () -> of(plain("b"), plain("a")).preferred());
    }

    @Test
    void twoPreferredOnesAreRefused() {
        refused(
                "several providers claim to be the preferred toy: a, b",
                () -> of(new Fake("b", true), plain("c"), new Fake("a", true)));
    }

    @Test
    void listsCannotBeChanged() {
        Catalogue<Fake> catalogue = of(plain("a"));
        assertThrows(UnsupportedOperationException.class, () -> catalogue.names().clear());
        assertThrows(UnsupportedOperationException.class, () -> catalogue.providers().clear());
    }

    /** The test's own service file registers one metric; nothing else is on this class path. */
    @Test
    void servicesAreFound() {
        assertEquals(List.of("test-metric"), Catalogue.qualityMetrics().names());
        assertEquals("quality metric", Catalogue.qualityMetrics().contract());
        assertEquals(List.of(), Catalogue.displacementEstimators().names());
        assertEquals(List.of(), Catalogue.strainEstimators().names());
        assertEquals(List.of(), Catalogue.frameSources().names());
    }

    /** Config of the metric. */
    public record MetricConfig(
            @Parameter(meaning = "the score it gives", min = 0, max = 1) double score) {
        public MetricConfig {
            ConfigSchema.check(MetricConfig.class, score);
        }
    }

    /** A metric that gives the score it is told to. */
    public static final class TestMetricProvider implements QualityMetricProvider<MetricConfig> {
        @Override
        public String name() {
            return "test-metric";
        }

        @Override
        public String summary() {
            return "a score as configured";
        }

        @Override
        public String source() {
            return "common practice, no source";
        }

        @Override
        public MetricConfig defaults() {
            return new MetricConfig(0.5);
        }

        @Override
        public String meaningOfZero() {
            return "zero";
        }

        @Override
        public String meaningOfOne() {
            return "one";
        }

        @Override
        public QualityMetric create(
                MetricConfig config, FieldLayout field, StrainLayout strain, Workers workers) {
            return (reference, moved, displacement, image, map) -> config.score();
        }
    }

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(2, 100, 40e6, 5e6, 1540, 0, 3e-4, 50);

    private static final RowGrid GRID = new RowGrid(3, 0, 1e-4);

    private static final FieldLayout FIELD =
            new FieldLayout(GEOMETRY, GRID, false, ErrorCorrelation.INDEPENDENT);

    private static final StrainLayout STRAIN = new StrainLayout(GEOMETRY, GRID, false, 1e-3);

    @Test
    void metricsAreMadeFromText() {
        QualityMetricProvider<?> provider = Catalogue.qualityMetrics().get("test-metric");
        assertEquals(0.5, score(provider, ""));
        assertEquals(0.25, score(provider, "score=0.25"));
        refused(
                "test-metric: parameter 'score' is '2'; it must be a number from 0.0 to 1.0",
                () -> score(provider, "score=2"));
    }

    private static double score(QualityMetricProvider<?> provider, String parameters) {
        QualityMetric metric =
                Catalogue.create(provider, parameters, FIELD, STRAIN, Workers.sequential());
        RfFrame frame = RfFrame.allocate(GEOMETRY, SampleType.INT16);
        return metric.score(
                frame, frame, new DisplacementField(FIELD), new StrainImage(STRAIN), null);
    }

    /** Hands on what it is given, to see that it arrives. */
    private static final class Tracker implements DisplacementEstimatorProvider<MetricConfig> {
        @Override
        public String name() {
            return "tracker";
        }

        @Override
        public String summary() {
            return "none";
        }

        @Override
        public String source() {
            return "none";
        }

        @Override
        public MetricConfig defaults() {
            return new MetricConfig(0);
        }

        @Override
        public DisplacementEstimator create(
                MetricConfig config, ScanGeometry geometry, Workers workers) {
            return new DisplacementEstimator() {
                @Override
                public FieldLayout layout() {
                    return FIELD;
                }

                @Override
                public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
                    out.axial()[0] = (float) config.score() * geometry.lines();
                }
            };
        }
    }

    private static final class Differentiator implements StrainEstimatorProvider<NoParameters> {
        @Override
        public String name() {
            return "differentiator";
        }

        @Override
        public String summary() {
            return "none";
        }

        @Override
        public String source() {
            return "none";
        }

        @Override
        public NoParameters defaults() {
            return new NoParameters();
        }

        @Override
        public StrainEstimator create(NoParameters config, FieldLayout field, Workers workers) {
            return new StrainEstimator() {
                @Override
                public StrainLayout layout() {
                    return STRAIN;
                }

                @Override
                public void estimate(DisplacementField displacement, StrainImage out) {
                    out.axial()[0] = displacement.axial()[0];
                }
            };
        }
    }

    private record Source(String name) implements FrameSource {
        @Override
        public ScanGeometry geometry() {
            return GEOMETRY;
        }

        @Override
        public SampleType sampleType() {
            return SampleType.INT16;
        }

        @Override
        public int frameCount() {
            return 1;
        }

        @Override
        public void read(int index, RfFrame into) {
            into.stamp(index, 5);
        }

        @Override
        public void close() {}
    }

    private static final class SourceProvider implements FrameSourceProvider<NoParameters> {
        @Override
        public String name() {
            return "source";
        }

        @Override
        public String summary() {
            return "none";
        }

        @Override
        public String source() {
            return "none";
        }

        @Override
        public NoParameters defaults() {
            return new NoParameters();
        }

        @Override
        public boolean recognises(String location) {
            return true;
        }

        @Override
        public FrameSource open(NoParameters config, String location) {
            return new Source(location);
        }
    }

    @Test
    void estimatorsAreMadeFromTextAndBringTheirMemory() {
        DisplacementEstimator tracker =
                Catalogue.create(new Tracker(), "score=1", GEOMETRY, Workers.sequential());
        DisplacementField field = tracker.newField();
        assertEquals(FIELD, field.layout());
        tracker.estimate(null, null, field);
        assertEquals(2f, field.axial()[0]);
        StrainEstimator differentiator =
                Catalogue.create(new Differentiator(), "", FIELD, Workers.sequential());
        StrainImage image = differentiator.newImage();
        assertEquals(STRAIN, image.layout());
        differentiator.estimate(field, image);
        assertEquals(2f, image.axial()[0]);
        refused(
                "differentiator: unknown parameter 'a'; there are none",
                () -> Catalogue.create(new Differentiator(), "a=1", FIELD, Workers.sequential()));
    }

    @Test
    void sourcesAreOpenedFromTextAndBringTheirMemory() throws IOException {
        try (FrameSource source = Catalogue.open(new SourceProvider(), "", "there")) {
            assertEquals("there", source.name());
            RfFrame frame = source.read(3);
            assertEquals(3, frame.index());
            assertEquals(GEOMETRY, frame.geometry());
            assertEquals(SampleType.INT16, frame.sampleType());
        }
        refused("source: unknown", () -> Catalogue.open(new SourceProvider(), "a=1", "there"));
    }

    @Test
    void metricsHaveNoMapUnlessTheySaySo() {
        QualityMetric metric = (reference, moved, field, strain, map) -> 0;
        assertEquals(false, metric.hasMap());
    }

    @Test
    void aProvidersSchemaIsThatOfItsDefaults() {
        assertEquals(
                "score",
                new Tracker()
                        .schema().parameters().stream()
                                .map(p -> p.name())
                                .collect(Collectors.joining()));
    }

    private static void refused(String message, Executable code) {
        String actual = assertThrows(IllegalArgumentException.class, code).getMessage();
        assertTrue(actual.contains(message), actual);
    }
}
