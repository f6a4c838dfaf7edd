package org.elasto.conformance;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.lang.reflect.InvocationTargetException;
import java.util.List;
import java.util.stream.Stream;
import org.elasto.api.Check;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.config.NoParameters;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.FrameSourceProvider;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.QualityMetricProvider;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Metrics and frame sources that are spoilt in one way each fail the check meant for it. */
class BadMetricsAndSourcesTest {

    private static void run(Class<?> contract, Object kit, String check) throws Throwable {
        try {
            contract.getMethod(check).invoke(kit);
        } catch (InvocationTargetException e) {
            throw e.getCause();
        }
    }

    private static void fails(Class<?> contract, Object kit, String check, String words) {
        String message =
                assertThrows(AssertionError.class, () -> run(contract, kit, check), check)
                        .getMessage();
        assertTrue(message.contains(words), check + " says: " + message);
    }

    // ---------------------------------------------------------------- metrics

    /** Share of known places; one behaviour may be overridden. */
    private static class KnownShare implements QualityMetric {
        private final FieldLayout field;
        private final StrainLayout strain;

        KnownShare(FieldLayout field, StrainLayout strain) {
            this.field = field;
            this.strain = strain;
        }

        @Override
        public boolean hasMap() {
            return true;
        }

        @Override
        public double score(
                RfFrame reference,
                RfFrame moved,
                DisplacementField in,
                StrainImage image,
                float[] map) {
            Check.same("field", in.layout(), field);
            Check.same("strain", image.layout(), strain);
            if (map != null) {
                Check.same("size of the map", map.length, strain.planeSize());
            }
            int known = 0;
            for (int i = 0; i < strain.planeSize(); i++) {
                boolean here = !Float.isNaN(image.axial()[i]);
                known += here ? 1 : 0;
                if (map != null) {
                    map[i] = here ? 1 : Float.NaN;
                }
            }
            return (double) known / strain.planeSize();
        }
    }

    /** Makes a metric. */
    @FunctionalInterface
    private interface Maker {
        QualityMetric make(FieldLayout field, StrainLayout strain, Workers workers);
    }

    private record MetricProvider(String name, Maker maker)
            implements QualityMetricProvider<NoParameters> {
        @Override
        public String summary() {
            return "share of known places";
        }

        @Override
        public String source() {
            return "common practice, no source";
        }

        @Override
        public NoParameters defaults() {
            return new NoParameters();
        }

        @Override
        public String meaningOfZero() {
            return "nothing known";
        }

        @Override
        public String meaningOfOne() {
            return name.equals("says-little") ? " " : "all known";
        }

        @Override
        public QualityMetric create(
                NoParameters config, FieldLayout field, StrainLayout strain, Workers workers) {
            return maker.make(field, strain, workers);
        }
    }

    private static final class MetricKit extends QualityMetricConformance {
        private final QualityMetricProvider<?> provider;

        MetricKit(QualityMetricProvider<?> provider) {
            this.provider = provider;
        }

        @Override
        protected QualityMetricProvider<?> provider() {
            return provider;
        }
    }

    private static final List<String> METRIC_CHECKS =
            List.of(
                    "scoresAreWithinTheirRange",
                    "nothingKnownIsNoBetter",
                    "scoresDoNotDependOnCallsOrWorkers",
                    "resetForgets",
                    "inputsAreNotModified",
                    "nothingIsAllocated",
                    "otherShapesAreRefused",
                    "providerDescribesItself",
                    "configSurvivesText");

    record BadMetric(MetricProvider provider, String check, String words) {
        @Override
        public String toString() {
            return provider.name();
        }
    }

    /** What a spoilt metric does after the honest one. */
    @FunctionalInterface
    private interface Afterwards {
        double score(double honest, DisplacementField in, float[] map, Workers workers);
    }

    private static BadMetric bad(String name, Afterwards after, String check, String words) {
        Maker maker =
                (field, strain, workers) ->
                        new KnownShare(field, strain) {
                            @Override
                            public double score(
                                    RfFrame reference,
                                    RfFrame moved,
                                    DisplacementField in,
                                    StrainImage image,
                                    float[] map) {
                                double honest = super.score(reference, moved, in, image, map);
                                return after.score(honest, in, map, workers);
                            }
                        };
        return new BadMetric(new MetricProvider(name, maker), check, words);
    }

    private static volatile float[] sink;

    /** Falls with every call; may say so, and may start again when reset. */
    private static BadMetric tiring(String name, boolean saysSo, String check, String words) {
        Maker maker =
                (field, strain, workers) ->
                        new KnownShare(field, strain) {
                            private int calls;

                            @Override
                            public boolean hasMemory() {
                                return saysSo;
                            }

                            @Override
                            public double score(
                                    RfFrame reference,
                                    RfFrame moved,
                                    DisplacementField in,
                                    StrainImage image,
                                    float[] map) {
                                return super.score(reference, moved, in, image, map) / ++calls;
                            }
                        };
        return new BadMetric(new MetricProvider(name, maker), check, words);
    }

    static Stream<BadMetric> metrics() {
        return Stream.of(
                bad(
                        "beyond-one",
                        (honest, in, map, workers) -> 1.5 * honest,
                        "scoresAreWithinTheirRange",
                        "expected 0 to 1, or NaN"),
                bad(
                        "upside-down",
                        (honest, in, map, workers) -> 1 - honest,
                        "nothingKnownIsNoBetter",
                        "saw score 1.0"),
                bad(
                        "leaves-map",
                        (honest, in, map, workers) -> {
                            if (map != null) {
                                map[3] = 5;
                            }
                            return honest;
                        },
                        "scoresAreWithinTheirRange",
                        "row 3 is 5.0"),
                bad(
                        "counts-workers",
                        (honest, in, map, workers) -> honest / workers.count(),
                        "scoresDoNotDependOnCallsOrWorkers",
                        "[2 workers]"),
                tiring(
                        "tires",
                        false,
                        "scoresDoNotDependOnCallsOrWorkers",
                        "after speckle pressed by"),
                tiring("never-forgets", true, "resetForgets", "after a reset"),
                bad(
                        "modifies-input",
                        (honest, in, map, workers) -> {
                            in.axial()[5] = 0;
                            return honest;
                        },
                        "inputsAreNotModified",
                        "expected field and strain as they were"),
                bad(
                        "allocates",
                        (honest, in, map, workers) -> {
                            sink = new float[50];
                            return honest;
                        },
                        "nothingIsAllocated",
                        "saw bytes allocated"),
                bad(
                        "says-little",
                        (honest, in, map, workers) -> honest,
                        "providerDescribesItself",
                        "meaning of 1"),
                new BadMetric(
                        new MetricProvider(
                                "ignores-shapes",
                                (field, strain, workers) ->
                                        (reference, moved, in, image, map) ->
                                                Double.isNaN(image.axial()[0]) ? 0 : 0.5),
                        "otherShapesAreRefused",
                        "saw no exception"));
    }

    @ParameterizedTest
    @MethodSource("metrics")
    void metricFailsForTheRightReason(BadMetric bad) {
        MetricKit kit = new MetricKit(bad.provider);
        fails(QualityMetricConformance.class, kit, bad.check, bad.words);
    }

    @Test
    void honestMetricPasses() {
        MetricKit kit =
                new MetricKit(
                        new MetricProvider(
                                "known-share",
                                (field, strain, workers) -> new KnownShare(field, strain)));
        for (String check : METRIC_CHECKS) {
            assertDoesNotThrow(() -> run(QualityMetricConformance.class, kit, check), check);
        }
    }

    // ---------------------------------------------------------------- frame sources

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(3, 50, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    /** Two frames of counted samples; one behaviour may be overridden. */
    private static class Counted implements FrameSource {
        @Override
        public String name() {
            return "counted";
        }

        @Override
        public ScanGeometry geometry() {
            return GEOMETRY;
        }

        @Override
        public SampleType sampleType() {
            return SampleType.FLOAT32;
        }

        @Override
        public int frameCount() {
            return 2;
        }

        @Override
        public void read(int index, RfFrame into) throws IOException {
            java.util.Objects.checkIndex(index, 2);
            Check.same("geometry of the frame", into.geometry(), GEOMETRY);
            float[] line = new float[GEOMETRY.samples()];
            for (int l = 0; l < GEOMETRY.lines(); l++) {
                for (int n = 0; n < line.length; n++) {
                    line[n] = 1000 * index + 100 * l + n;
                }
                into.writeLine(l, line, 0);
            }
            into.stamp(index, index * 20_000_000L);
        }

        @Override
        public void close() {}
    }

    /** Opens a source anew each time. */
    private record SourceProvider(String name, java.util.function.Supplier<FrameSource> maker)
            implements FrameSourceProvider<NoParameters> {
        @Override
        public String summary() {
            return "counted samples";
        }

        @Override
        public String source() {
            return "common practice, no source";
        }

        @Override
        public NoParameters defaults() {
            return new NoParameters();
        }

        @Override
        public boolean recognises(String location) {
            return name.equals("takes-anything") || location.equals("counted");
        }

        @Override
        public FrameSource open(NoParameters config, String location) throws IOException {
            if (!location.equals("counted")) {
                throw name.equals("says-little")
                        ? new IOException("no")
                        : new IOException(location + ": not counted");
            }
            return maker.get();
        }
    }

    private static final class SourceKit extends FrameSourceConformance {
        private final FrameSourceProvider<?> provider;

        SourceKit(FrameSourceProvider<?> provider) {
            this.provider = provider;
        }

        @Override
        protected FrameSourceProvider<?> provider() {
            return provider;
        }

        @Override
        protected String location() {
            return "counted";
        }
    }

    record BadSource(SourceProvider provider, String check, String words) {
        @Override
        public String toString() {
            return provider.name();
        }
    }

    /** Counted samples with a clock of its own: the second call of a source differs. */
    private static final class Drifting extends Counted {
        private int calls;

        @Override
        public void read(int index, RfFrame into) throws IOException {
            super.read(index, into);
            float[] line = new float[GEOMETRY.samples()];
            into.readLine(1, line, 0);
            line[7] += calls++;
            into.writeLine(1, line, 0);
        }
    }

    private static final class ShortRead extends Counted {
        @Override
        public void read(int index, RfFrame into) throws IOException {
            if (index == 0) {
                RfFrame own = newFrame();
                super.read(index, own);
                float[] line = new float[GEOMETRY.samples()];
                own.readLine(0, line, 0);
                into.writeLine(0, line, 0);
                into.stamp(0, 0);
            } else {
                super.read(index, into);
            }
        }
    }

    private static final class Lenient extends Counted {
        @Override
        public void read(int index, RfFrame into) throws IOException {
            if (into.geometry().equals(GEOMETRY)) {
                super.read(Math.max(0, Math.min(1, index)), into);
            }
        }
    }

    static Stream<BadSource> sources() {
        return Stream.of(
                new BadSource(
                        new SourceProvider("takes-anything", Counted::new),
                        "locationsAreRecognised",
                        "saw nonsense that is recognised"),
                new BadSource(
                        new SourceProvider("says-little", Counted::new),
                        "missingLocationIsNamed",
                        "java.io.IOException: no; expected an IOException that names"),
                new BadSource(
                        new SourceProvider("drifts", Drifting::new),
                        "orderOfReadingDoesNotMatter",
                        "expected the same bits"),
                new BadSource(
                        new SourceProvider("short-read", ShortRead::new),
                        "orderOfReadingDoesNotMatter",
                        "frame 0 into a frame that held frame 1"),
                new BadSource(
                        new SourceProvider("lenient", Lenient::new),
                        "wrongRequestsAreRefused",
                        "expected an IndexOutOfBoundsException [frame -1 of 2]"));
    }

    @ParameterizedTest
    @MethodSource("sources")
    void sourceFailsForTheRightReason(BadSource bad) {
        SourceKit kit = new SourceKit(bad.provider);
        fails(FrameSourceConformance.class, kit, bad.check, bad.words);
        assertDoesNotThrow(() -> run(FrameSourceConformance.class, kit, "sourceDescribesItself"));
    }
}
