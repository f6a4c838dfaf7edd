package org.elasto.conformance;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.lang.reflect.Field;
import java.lang.reflect.InvocationTargetException;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;
import org.elasto.api.plugin.FrameHoldingEstimator;
import org.elasto.conformance.SpoiltProvider.Wrapped;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Estimators that are spoilt in one way each: the check that is meant for it fails, with the words
 * that say why, and checks that it does not concern still pass.
 */
class BadDisplacementEstimatorsTest {

    /** Quick checks that a spoilt estimator passes unless its fault concerns them. */
    private static final List<String> BYSTANDERS =
            List.of(
                    "everyValueIsOverwritten",
                    "otherShapesAreRefused",
                    "signOfBothFramesChangesNothing",
                    "layoutFitsTheGeometry");

    private static final class Kit extends DisplacementEstimatorConformance {
        private final DisplacementEstimatorProvider<?> provider;

        Kit(DisplacementEstimatorProvider<?> provider) {
            this.provider = provider;
        }

        @Override
        protected DisplacementEstimatorProvider<?> provider() {
            return provider;
        }

        @Override
        protected DisplacementExpectations expectations() {
            return PlainPhaseProvider.STATED;
        }

        /** Smaller than the kit's own: these faults are gross. */
        @Override
        protected ScanGeometry geometry() {
            return ScanGeometry.linear(16, 800, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        }
    }

    /** A spoilt provider, and words of the message by the check that must fail with them. */
    record Case(DisplacementEstimatorProvider<?> provider, Map<String, String> fails) {
        @Override
        public String toString() {
            return provider.name();
        }
    }

    private static Case bad(DisplacementEstimatorProvider<?> provider, String... checksAndWords) {
        Map<String, String> fails = new LinkedHashMap<>();
        for (int i = 0; i < checksAndWords.length; i += 2) {
            fails.put(checksAndWords[i], checksAndWords[i + 1]);
        }
        return new Case(provider, fails);
    }

    @ParameterizedTest
    @MethodSource("cases")
    void failsForTheRightReason(Case bad) {
        Kit kit = new Kit(bad.provider);
        bad.fails.forEach(
                (check, words) -> {
                    AssertionError error =
                            assertThrows(
                                    AssertionError.class,
                                    () -> run(kit, check),
                                    bad + ", " + check);
                    String message = error.getMessage();
                    assertTrue(message.contains(words), check + " says: " + message);
                });
        for (String check : BYSTANDERS) {
            if (!bad.fails.containsKey(check)) {
                assertDoesNotThrow(() -> run(kit, check), bad + ", " + check);
            }
        }
    }

    static void run(DisplacementEstimatorConformance kit, String check) throws Throwable {
        try {
            DisplacementEstimatorConformance.class.getMethod(check).invoke(kit);
        } catch (InvocationTargetException e) {
            throw e.getCause();
        }
    }

    static Stream<Case> cases() {
        return Stream.of(wrongMotion(), wrongTrust(), wrongMemory(), wrongShape())
                .flatMap(List::stream);
    }

    private static void forKnown(DisplacementField out, java.util.function.IntConsumer change) {
        for (int i = 0; i < out.axial().length; i++) {
            if (FieldRules.isKnown(out, i)) {
                change.accept(i);
            }
        }
    }

    // ---------------------------------------------------------------- motion

    private static List<Case> wrongMotion() {
        return List.of(
                bad(
                        SpoiltProvider.afterwards(
                                "always-zero",
                                (reference, moved, out) -> {
                                    Arrays.fill(out.axial(), 0);
                                    Arrays.fill(out.correlation(), 1);
                                    Arrays.fill(out.axialDeviation(), 1e-7f);
                                }),
                        "shiftsComeBackNearTheBound",
                        "saw error (m, root mean square",
                        "pressComesBack",
                        "saw error (m, root mean square)",
                        "swappingTheFramesFlipsTheSign",
                        "saw median axial displacement",
                        "independentNoiseIsUnknown",
                        "saw share of places called known"),
                bad(
                        SpoiltProvider.afterwards(
                                "sign-only",
                                (reference, moved, out) ->
                                        forKnown(
                                                out,
                                                i ->
                                                        out.axial()[i] =
                                                                2e-5f
                                                                        * Math.signum(
                                                                                out.axial()[i]))),
                        "shiftsComeBackNearTheBound",
                        "saw error (m, root mean square",
                        "mixtureComesBack",
                        "saw error (m, root mean square)",
                        "predictedDeviationsAgreeWithErrors",
                        "saw errors over their predicted deviations"),
                bad(
                        SpoiltProvider.afterwards(
                                "wrong-sign",
                                (reference, moved, out) ->
                                        forKnown(out, i -> out.axial()[i] = -out.axial()[i])),
                        "shiftsComeBackNearTheBound",
                        "saw error (m, root mean square",
                        "pressComesBack",
                        "saw error (m, root mean square)"),
                bad(
                        SpoiltProvider.afterwards(
                                "size-only",
                                (reference, moved, out) ->
                                        forKnown(
                                                out,
                                                i -> out.axial()[i] = Math.abs(out.axial()[i]))),
                        "swappingTheFramesFlipsTheSign",
                        "saw median axial displacement"),
                bad(
                        SpoiltProvider.afterwards(
                                "whole-samples",
                                (reference, moved, out) -> {
                                    double spacing = out.layout().geometry().sampleSpacing();
                                    forKnown(
                                            out,
                                            i ->
                                                    out.axial()[i] =
                                                            (float)
                                                                    (Math.rint(
                                                                                    out.axial()[i]
                                                                                            / spacing)
                                                                            * spacing));
                                }),
                        "shiftsComeBackNearTheBound",
                        "saw error (m, root mean square"),
                bad(
                        SpoiltProvider.afterwards(
                                "offset",
                                (reference, moved, out) ->
                                        forKnown(out, i -> out.axial()[i] += 1e-7f)),
                        "zeroMotionGivesZero",
                        "saw greatest axial displacement"),
                bad(
                        SpoiltProvider.afterwards(
                                "skips-cycles",
                                (reference, moved, out) -> {
                                    float cycle =
                                            (float) (out.layout().geometry().wavelength() / 2);
                                    forKnown(out, i -> out.axial()[i] += i % 25 == 0 ? cycle : 0);
                                }),
                        "grossErrorsAreRare",
                        "off by more than a quarter of the wavelength"),
                bad(
                        new SpoiltProvider(
                                "short-sighted", (honest, workers) -> new ShortSighted(honest)),
                        "grossErrorsAreRare",
                        "saw share of known places"),
                bad(
                        SpoiltProvider.afterwards(
                                "one-line-off",
                                (reference, moved, out) ->
                                        System.arraycopy(
                                                out.axial(),
                                                out.rows(),
                                                out.axial(),
                                                0,
                                                out.axial().length - out.rows())),
                        "mirroringTheLinesMirrorsTheField",
                        "saw difference of axial displacements"),
                bad(
                        SpoiltProvider.afterwards(
                                "feels-depth",
                                (reference, moved, out) ->
                                        forKnown(
                                                out,
                                                i -> out.axial()[i] += 1e-7f * (i % out.rows()))),
                        "shiftingBothFramesInDepthShiftsTheField",
                        "saw difference of axial displacements"),
                bad(
                        SpoiltProvider.afterwards(
                                "feels-gain", BadDisplacementEstimatorsTest::feelGain),
                        "gainChangesNothing",
                        "known in one of the two fields only"),
                bad(
                        SpoiltProvider.afterwards(
                                "feels-sign",
                                (reference, moved, out) -> {
                                    float[] line = new float[reference.geometry().samples()];
                                    reference.readLine(0, line, 0);
                                    float off = line[100] > 0 ? 1e-7f : 0;
                                    forKnown(out, i -> out.axial()[i] += off);
                                }),
                        "signOfBothFramesChangesNothing",
                        "saw difference of axial displacements"));
    }

    /** Marks unknown what it takes to be too weak, by an absolute level. */
    private static void feelGain(RfFrame reference, RfFrame moved, DisplacementField out) {
        float[] line = new float[reference.geometry().samples()];
        reference.readLine(0, line, 0);
        double energy = 0;
        for (float sample : line) {
            energy += sample * sample;
        }
        if (energy / line.length < 100) {
            out.clear();
        }
    }

    /** Knows nothing of what moves by more than 0.3 mm. */
    private static final class ShortSighted extends Wrapped {
        ShortSighted(DisplacementEstimator honest) {
            super(honest);
        }

        @Override
        public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
            honest.estimate(reference, moved, out);
            for (int i = 0; i < out.axial().length; i++) {
                if (Math.abs(out.axial()[i]) > 0.3e-3) {
                    out.markUnknown(i);
                }
            }
        }
    }

    // ---------------------------------------------------------------- trust

    private static List<Case> wrongTrust() {
        return List.of(
                bad(
                        SpoiltProvider.afterwards(
                                "invents-precision",
                                (reference, moved, out) ->
                                        forKnown(out, i -> out.axialDeviation()[i] *= 0.3f)),
                        "predictedDeviationsAgreeWithErrors",
                        "saw errors over their predicted deviations"),
                bad(
                        SpoiltProvider.afterwards(
                                "hides-precision",
                                (reference, moved, out) ->
                                        forKnown(out, i -> out.axialDeviation()[i] *= 3)),
                        "predictedDeviationsAgreeWithErrors",
                        "saw errors over their predicted deviations"),
                bad(
                        new SpoiltProvider(
                                "misstates-window", (honest, workers) -> new OtherWindow(honest)),
                        "errorsGoTogetherAsStated",
                        "saw correlation of errors"),
                bad(
                        SpoiltProvider.afterwards(
                                "claims-knowledge",
                                (reference, moved, out) -> {
                                    for (int i = 0; i < out.axial().length; i++) {
                                        if (!FieldRules.isKnown(out, i)) {
                                            out.axial()[i] = 1e-6f * (i % 7);
                                            out.axialDeviation()[i] = 1e-5f;
                                            out.correlation()[i] = 0.6f;
                                        }
                                    }
                                }),
                        "independentNoiseIsUnknown",
                        "saw share of places called known where nothing can be known 1.000",
                        "silenceIsUnknown",
                        "both frames silent",
                        "badSamplesAreUnknown",
                        "saw places called known within the bad part",
                        "saturationIsUnknownOrRight",
                        "saw places called known within the bad part",
                        "lostContactIsUnknown",
                        "saw share of places called known",
                        "behindBoneIsUnknown",
                        "behind the bone"),
                bad(
                        SpoiltProvider.afterwards(
                                "knows-nothing", (reference, moved, out) -> out.clear()),
                        "shiftsComeBackNearTheBound",
                        "saw share of known places 0.000; expected at least 0.9",
                        "zeroMotionGivesZero",
                        "saw share of known places 0.000; expected at least 0.9",
                        "signOfBothFramesChangesNothing",
                        "saw difference of axial displacements (m, root mean square) NaN"),
                bad(
                        SpoiltProvider.afterwards(
                                "half-known",
                                (reference, moved, out) ->
                                        forKnown(
                                                out,
                                                i -> {
                                                    if (i % 7 == 0) {
                                                        out.axialDeviation()[i] = Float.NaN;
                                                    }
                                                })),
                        "noPlaceIsHalfKnown",
                        "expected either correlation 0 and all else NaN"),
                bad(
                        SpoiltProvider.afterwards(
                                "half-unknown",
                                (reference, moved, out) -> {
                                    for (int i = 0; i < out.axial().length; i++) {
                                        if (out.correlation()[i] == 0) {
                                            out.axial()[i] = 0;
                                        }
                                    }
                                }),
                        "noPlaceIsHalfKnown",
                        "expected either correlation 0 and all else NaN"),
                bad(
                        SpoiltProvider.afterwards(
                                "throws-on-odd-samples",
                                (reference, moved, out) -> {
                                    float[] line = new float[reference.geometry().samples()];
                                    reference.readLine(0, line, 0);
                                    for (float sample : line) {
                                        if (Float.isNaN(sample) || Math.abs(sample) > 1e35f) {
                                            throw new ArithmeticException("odd sample");
                                        }
                                    }
                                }),
                        "badSamplesAreUnknown",
                        "estimate threw java.lang.ArithmeticException: odd sample",
                        "hugeSamplesDoNoHarm",
                        "estimate threw java.lang.ArithmeticException: odd sample",
                        // Half of its frames are NaN there.
                        "everyValueIsOverwritten",
                        "estimate threw java.lang.ArithmeticException: odd sample"));
    }

    /** States half the window. */
    private static final class OtherWindow extends Wrapped {
        private final FieldLayout stated;

        OtherWindow(DisplacementEstimator honest) {
            super(honest);
            FieldLayout right = honest.layout();
            stated =
                    new FieldLayout(
                            right.geometry(),
                            right.grid(),
                            false,
                            new ErrorCorrelation(
                                    ErrorCorrelation.Shape.TRIANGULAR,
                                    right.axialErrors().length() / 2));
        }

        @Override
        public FieldLayout layout() {
            return stated;
        }

        @Override
        public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
            org.elasto.api.Check.same("layout", out.layout(), stated);
            DisplacementField inner = honest.newField();
            honest.estimate(reference, moved, inner);
            copy(inner, out);
        }
    }

    private static void copy(DisplacementField from, DisplacementField to) {
        int n = Math.min(from.axial().length, to.axial().length);
        System.arraycopy(from.axial(), 0, to.axial(), 0, n);
        System.arraycopy(from.correlation(), 0, to.correlation(), 0, n);
        System.arraycopy(from.axialDeviation(), 0, to.axialDeviation(), 0, n);
    }

    // ---------------------------------------------------------------- memory and threads

    private static volatile float[] sink;

    private static List<Case> wrongMemory() {
        return List.of(
                bad(
                        SpoiltProvider.afterwards(
                                "modifies-input", BadDisplacementEstimatorsTest::modify),
                        "inputsAreNotModified",
                        "second frame changed"),
                bad(
                        new SpoiltProvider(
                                "aliases-output",
                                (honest, workers) ->
                                        new Wrapped(honest) {
                                            private final DisplacementField only =
                                                    honest.newField();

                                            @Override
                                            public DisplacementField newField() {
                                                return only;
                                            }
                                        }),
                        "callsDoNotDependOnEachOther",
                        "two fields with the same memory"),
                bad(
                        new SpoiltProvider(
                                "keeps-state",
                                (honest, workers) ->
                                        new Wrapped(honest) {
                                            private float before;

                                            @Override
                                            public void estimate(
                                                    RfFrame reference,
                                                    RfFrame moved,
                                                    DisplacementField out) {
                                                honest.estimate(reference, moved, out);
                                                float mine = before;
                                                forKnown(out, i -> out.axial()[i] += mine);
                                                int middle = out.axial().length / 2;
                                                before = 1e-3f * out.axial()[middle];
                                            }
                                        }),
                        "callsDoNotDependOnEachOther",
                        "again after a call on noise",
                        "everyValueIsOverwritten",
                        "expected the same bits"),
                bad(
                        new SpoiltProvider(
                                "keeps-frames", (honest, workers) -> new KeepsFrames(honest)),
                        "framesAreNotKept",
                        "in frames that were refilled with it"),
                bad(
                        new SpoiltProvider(
                                "holds-the-callers-frames",
                                (honest, workers) -> new HoldsFrames(honest, false)),
                        "heldFramesGiveTheSame",
                        "frame refilled after it was held"),
                bad(
                        new SpoiltProvider(
                                "holds-backwards",
                                (honest, workers) -> new HoldsFrames(honest, true)),
                        "heldFramesGiveTheSame",
                        "1 workers, held frames"),
                bad(
                        new SpoiltProvider(
                                "leaves-garbage",
                                (honest, workers) ->
                                        new Wrapped(honest) {
                                            @Override
                                            public void estimate(
                                                    RfFrame reference,
                                                    RfFrame moved,
                                                    DisplacementField out) {
                                                float last = out.correlation()[0];
                                                honest.estimate(reference, moved, out);
                                                out.correlation()[0] = last;
                                            }
                                        }),
                        "everyValueIsOverwritten",
                        "field filled with"),
                bad(
                        SpoiltProvider.afterwards(
                                "allocates", (reference, moved, out) -> sink = new float[100]),
                        "nothingIsAllocated",
                        "saw bytes allocated by two calls once warm 832"),
                bad(
                        SpoiltProvider.afterwards(
                                "stride-of-reference",
                                BadDisplacementEstimatorsTest::readWithOtherStride),
                        "storageOfSamplesDoesNotMatter",
                        "FLOAT32, stride 813 and 802"),
                bad(
                        new SpoiltProvider(
                                "counts-workers",
                                (honest, workers) ->
                                        new Wrapped(honest) {
                                            @Override
                                            public void estimate(
                                                    RfFrame reference,
                                                    RfFrame moved,
                                                    DisplacementField out) {
                                                honest.estimate(reference, moved, out);
                                                float extra = 1e-9f * workers.count();
                                                forKnown(out, i -> out.axial()[i] += extra);
                                            }
                                        }),
                        "workersDoNotMatter",
                        "2 workers"),
                bad(
                        new SpoiltProvider(
                                "thread-order",
                                (honest, workers) -> new ThreadOrder(honest, workers)),
                        "workersDoNotMatter",
                        "5 workers"),
                bad(
                        SpoiltProvider.afterwards(
                                "shares-workspace", BadDisplacementEstimatorsTest::share),
                        "estimatorsSideBySideDoNotMatter",
                        "beside another estimator"));
    }

    /** Holds nothing but a pointer to the caller's memory, and may mix up the slots. */
    private static final class HoldsFrames extends Wrapped implements FrameHoldingEstimator {
        private final boolean backwards;
        private RfFrame[] frames = {};

        HoldsFrames(DisplacementEstimator honest, boolean backwards) {
            super(honest);
            this.backwards = backwards;
        }

        @Override
        public void reserve(int slots) {
            frames = new RfFrame[slots];
        }

        @Override
        public void hold(int slot, RfFrame frame) {
            frames[slot] = frame;
        }

        @Override
        public void estimateHeld(int from, int to, DisplacementField out) {
            honest.estimate(frames[backwards ? to : from], frames[backwards ? from : to], out);
        }
    }

    private static void modify(RfFrame reference, RfFrame moved, DisplacementField out) {
        int n = moved.geometry().samples();
        float[] line = new float[n];
        moved.readLine(3, line, 0);
        if (moved.sampleType() == SampleType.FLOAT32) {
            line[n / 2] = Math.nextUp(line[n / 2]);
            moved.writeLine(3, line, 0);
        }
    }

    /** Does its work by the frames it saw first, as long as they are the same objects. */
    private static final class KeepsFrames extends Wrapped {
        private RfFrame last;
        private DisplacementField result;

        KeepsFrames(DisplacementEstimator honest) {
            super(honest);
        }

        @Override
        public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
            if (reference == last) {
                copy(result, out);
                return;
            }
            honest.estimate(reference, moved, out);
            last = reference;
            result = Bits.copy(out);
        }
    }

    /** Looks at the second frame's memory with the stride of the first. */
    private static void readWithOtherStride(
            RfFrame reference, RfFrame moved, DisplacementField out) {
        if (moved.sampleType() != SampleType.FLOAT32
                || reference.sampleType() != SampleType.FLOAT32) {
            return;
        }
        try {
            float[] samples = (float[]) field(moved, "samples");
            int at = (int) field(reference, "offset") + 2 * (int) field(reference, "stride");
            float seen = samples[at + 500];
            forKnown(out, i -> out.axial()[i] += 1e-13f * seen);
        } catch (ReflectiveOperationException e) {
            throw new AssertionError(e);
        }
    }

    private static Object field(RfFrame frame, String name) throws ReflectiveOperationException {
        Field field = frame.getClass().getDeclaredField(name);
        field.setAccessible(true);
        return field.get(frame);
    }

    /** Writes the number of the worker that came by into the result. */
    private static final class ThreadOrder extends Wrapped {
        private final Workers workers;

        ThreadOrder(DisplacementEstimator honest, Workers workers) {
            super(honest);
            this.workers = workers;
        }

        @Override
        public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
            honest.estimate(reference, moved, out);
            workers.run(
                    out.lines(),
                    (line, worker) -> {
                        int at = line * out.rows() + out.rows() / 2;
                        // Long enough that no worker can take all lines before the others wake.
                        java.util.concurrent.locks.LockSupport.parkNanos(200_000);
                        out.axial()[at] += 1e-8f * worker;
                    });
        }
    }

    private static final AtomicInteger INSIDE = new AtomicInteger();

    /** Two at a time get into each other's way; alone, each waits for the other in vain. */
    private static void share(RfFrame reference, RfFrame moved, DisplacementField out) {
        INSIDE.incrementAndGet();
        long end = System.nanoTime() + 400_000_000;
        boolean met = false;
        while (!met && System.nanoTime() < end) {
            Thread.onSpinWait();
            met = INSIDE.get() > 1;
        }
        if (met) {
            forKnown(out, i -> out.axial()[i] += 1e-8f);
        }
        // Stays long enough for the other to notice as well.
        java.util.concurrent.locks.LockSupport.parkNanos(2_000_000);
        INSIDE.decrementAndGet();
    }

    // ---------------------------------------------------------------- shapes

    private static List<Case> wrongShape() {
        return List.of(
                bad(
                        new SpoiltProvider(
                                "ignores-shapes", (honest, workers) -> new IgnoresShapes(honest)),
                        "otherShapesAreRefused",
                        "saw no exception; expected IllegalArgumentException whose message has"
                                + " '17' '16'"),
                bad(
                        new SpoiltProvider(
                                "refuses-without-sizes",
                                (honest, workers) ->
                                        new Wrapped(honest) {
                                            @Override
                                            public void estimate(
                                                    RfFrame reference,
                                                    RfFrame moved,
                                                    DisplacementField out) {
                                                try {
                                                    honest.estimate(reference, moved, out);
                                                } catch (IllegalArgumentException e) {
                                                    throw new IllegalArgumentException("bad", e);
                                                }
                                            }
                                        }),
                        "otherShapesAreRefused",
                        "IllegalArgumentException: bad; expected"),
                bad(
                        new SpoiltProvider(
                                "rows-outside", (honest, workers) -> new RowsOutside(honest)),
                        "layoutFitsTheGeometry",
                        "expected rows within the frame"),
                bad(
                        new FailingProvider(
                                "fails-at-limits", (config, geometry) -> config.sideLines() < 20),
                        "limitsOfParametersWorkOrAreRefused",
                        "IllegalStateException: something"),
                bad(
                        new FailingProvider(
                                "fails-on-geometries", (config, geometry) -> geometry.lines() > 2),
                        "differentGeometriesInARowWorkOrAreRefused",
                        "IllegalStateException: something"),
                bad(
                        new SpoiltProvider("Bad Name", (honest, workers) -> honest),
                        "providerDescribesItself",
                        "saw name 'Bad Name'; expected lower-case words",
                        "providerIsRegistered",
                        "expected provider org.elasto.conformance.SpoiltProvider"));
    }

    /** Takes whatever it is given. */
    private static final class IgnoresShapes extends Wrapped {
        IgnoresShapes(DisplacementEstimator honest) {
            super(honest);
        }

        @Override
        public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
            ScanGeometry geometry = honest.layout().geometry();
            if (reference.geometry().equals(geometry)
                    && moved.geometry().equals(geometry)
                    && out.layout().equals(honest.layout())) {
                honest.estimate(reference, moved, out);
            } else {
                out.clear();
            }
        }
    }

    /** Ten rows more than there are samples for. */
    private static final class RowsOutside extends Wrapped {
        private final FieldLayout stated;

        RowsOutside(DisplacementEstimator honest) {
            super(honest);
            RowGrid grid = honest.layout().grid();
            stated =
                    new FieldLayout(
                            honest.layout().geometry(),
                            new RowGrid(grid.rows() + 10, grid.firstDepth(), grid.spacing()),
                            false,
                            honest.layout().axialErrors());
        }

        @Override
        public FieldLayout layout() {
            return stated;
        }

        @Override
        public void estimate(RfFrame reference, RfFrame moved, DisplacementField out) {
            org.elasto.api.Check.same("layout", out.layout(), stated);
            DisplacementField inner = honest.newField();
            honest.estimate(reference, moved, inner);
            out.clear();
            int rows = inner.rows();
            for (int line = 0; line < out.lines(); line++) {
                int to = line * out.rows();
                System.arraycopy(inner.axial(), line * rows, out.axial(), to, rows);
                System.arraycopy(inner.correlation(), line * rows, out.correlation(), to, rows);
                System.arraycopy(
                        inner.axialDeviation(), line * rows, out.axialDeviation(), to, rows);
            }
        }
    }

    /** Makes honest estimators or fails in its own words. */
    private static final class FailingProvider
            implements DisplacementEstimatorProvider<PlainPhaseConfig> {

        private final String name;
        private final java.util.function.BiPredicate<PlainPhaseConfig, ScanGeometry> works;

        FailingProvider(
                String name, java.util.function.BiPredicate<PlainPhaseConfig, ScanGeometry> works) {
            this.name = name;
            this.works = works;
        }

        @Override
        public String name() {
            return name;
        }

        @Override
        public String summary() {
            return "fails now and then";
        }

        @Override
        public String source() {
            return "made to fail";
        }

        @Override
        public PlainPhaseConfig defaults() {
            return new PlainPhaseProvider().defaults();
        }

        @Override
        public DisplacementEstimator create(
                PlainPhaseConfig config, ScanGeometry geometry, Workers workers) {
            if (!works.test(config, geometry)) {
                throw new IllegalStateException("something");
            }
            return new PlainPhaseEstimator(config, geometry, workers);
        }
    }
}
