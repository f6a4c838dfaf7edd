package org.elasto.conformance;

import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.ShortBuffer;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.config.ParameterInfo;
import org.elasto.api.plugin.DisplacementEstimator;

/** Memory, threads, shapes: what the contract promises whatever the motion. */
final class DisplacementContractChecks {

    private final DisplacementSubject subject;
    private final Scene one;
    private final Scene two;

    DisplacementContractChecks(DisplacementSubject subject) {
        this.subject = subject;
        one = Scenes.noise(subject.geometry(), 20, 1, subject.shift(1.4), 701);
        two = Scenes.noise(subject.geometry(), 20, 1, subject.shift(-4.1), 702);
    }

    private static void same(
            Tally tally, DisplacementField a, DisplacementField b, String condition) {
        String difference = Bits.difference(a, b);
        tally.count(a.axial().length);
        tally.expect(difference == null, String.valueOf(difference), "the same bits", condition);
    }

    // ---------------------------------------------------------------- memory

    void inputsUnmodified(Tally tally) {
        DisplacementEstimator estimator = subject.make();
        int n = subject.geometry().samples();
        for (Scene scene : List.of(one, one.rounded())) {
            float[] a = padded(scene.reference(), n, 5, n + 3);
            float[] b = padded(scene.moved(), n, 2, n + 7);
            float[] a2 = a.clone();
            float[] b2 = b.clone();
            DisplacementSubject.estimate(
                    estimator,
                    RfFrame.of(subject.geometry(), a, 5, n + 3),
                    RfFrame.of(subject.geometry(), b, 2, n + 7),
                    scene.condition());
            unmodified(tally, "first frame", a2, a, scene.condition());
            unmodified(tally, "second frame", b2, b, scene.condition());
        }
        short[] a = DisplacementTrustChecks.toShorts(one.rounded().reference());
        short[] b = DisplacementTrustChecks.toShorts(one.rounded().moved());
        short[] a2 = a.clone();
        short[] b2 = b.clone();
        DisplacementSubject.estimate(
                estimator,
                RfFrame.of(subject.geometry(), a),
                RfFrame.of(subject.geometry(), b),
                one.condition());
        tally.count(a.length + b.length);
        tally.expect(
                Arrays.equals(a, a2) && Arrays.equals(b, b2),
                "16-bit samples changed",
                "frames as they were",
                one.condition() + ", 16-bit samples");
    }

    private static void unmodified(
            Tally tally, String what, float[] before, float[] after, String condition) {
        String difference = Bits.difference("sample", before, after, Integer.MAX_VALUE);
        tally.count(before.length);
        tally.expect(
                difference == null,
                what + " changed: " + difference,
                "the " + what + " as it was",
                condition);
    }

    void overwritten(Tally tally) {
        DisplacementEstimator estimator = subject.make();
        int part = subject.geometry().samples() / 2;
        Scene half =
                one.changed(
                        (sample, line, n) -> n < part ? sample : Float.NaN,
                        (sample, line, n) -> sample,
                        "NaN in the lower half");
        for (Scene scene : List.of(one, half)) {
            DisplacementField clean = Bits.copy(DisplacementSubject.estimate(estimator, scene));
            for (float garbage : new float[] {1e30f, Float.NaN, -7}) {
                DisplacementField out = estimator.newField();
                fill(out, garbage);
                estimator.estimate(scene.referenceFrame(), scene.movedFrame(), out);
                same(tally, clean, out, scene.condition() + ", field filled with " + garbage);
            }
        }
    }

    private static void fill(DisplacementField field, float value) {
        Arrays.fill(field.axial(), value);
        Arrays.fill(field.axialDeviation(), value);
        Arrays.fill(field.correlation(), value);
        if (field.lateral() != null) {
            Arrays.fill(field.lateral(), value);
            Arrays.fill(field.lateralDeviation(), value);
        }
    }

    /** What a call gave stays as it is; what it gives does not depend on the calls before. */
    void repeatable(Tally tally) {
        DisplacementEstimator estimator = subject.make();
        DisplacementField first = DisplacementSubject.estimate(estimator, one);
        DisplacementField copy = Bits.copy(first);
        Scene.Change none = (sample, line, n) -> sample;
        List<Scene> between =
                List.of(
                        two,
                        one.changed((sample, line, n) -> Float.NaN, none, "nothing but NaN"),
                        one.changed((sample, line, n) -> 0, (sample, line, n) -> 0, "silent"),
                        one.scaled(1e4f),
                        one.changed(
                                none,
                                (sample, line, n) -> n % 97 == 0 ? Float.POSITIVE_INFINITY : sample,
                                "infinities in the second"));
        for (Scene scene : between) {
            DisplacementField other = DisplacementSubject.estimate(estimator, scene);
            same(
                    tally,
                    copy,
                    first,
                    "field of the first call after a call on " + scene.condition());
            tally.expect(
                    other.axial() != first.axial(),
                    "two fields with the same memory",
                    "memory of its own for every field",
                    scene.condition());
            same(
                    tally,
                    copy,
                    DisplacementSubject.estimate(estimator, one),
                    one.condition() + ", again after a call on " + scene.condition());
        }
        for (int pass = 0; pass < Sizes.passes(); pass++) {
            same(
                    tally,
                    copy,
                    DisplacementSubject.estimate(subject.make(), one),
                    one.condition() + ", by a new estimator");
        }
    }

    void framesNotKept(Tally tally) {
        DisplacementEstimator estimator = subject.make();
        float[] a = one.reference().clone();
        float[] b = one.moved().clone();
        RfFrame reference = RfFrame.of(subject.geometry(), a);
        RfFrame moved = RfFrame.of(subject.geometry(), b);
        DisplacementField first =
                DisplacementSubject.estimate(estimator, reference, moved, one.condition());
        DisplacementField copy = Bits.copy(first);
        System.arraycopy(two.reference(), 0, a, 0, a.length);
        System.arraycopy(two.moved(), 0, b, 0, b.length);
        same(tally, copy, first, one.condition() + ", field after the frames were refilled");
        same(
                tally,
                DisplacementSubject.estimate(subject.make(), two),
                DisplacementSubject.estimate(estimator, reference, moved, two.condition()),
                two.condition() + ", in frames that were refilled with it");
    }

    void noAllocation(Tally tally) {
        DisplacementEstimator estimator = subject.make();
        DisplacementField out = estimator.newField();
        RfFrame[] frames = {
            one.referenceFrame(), one.movedFrame(), two.referenceFrame(), two.movedFrame()
        };
        double bytes =
                Allocation.bytesPerCall(
                        () -> {
                            estimator.estimate(frames[0], frames[1], out);
                            estimator.estimate(frames[2], frames[3], out);
                        });
        tally.count(out.axial().length);
        tally.atMost("bytes allocated by two calls once warm", bytes, 0, one.condition());
    }

    // ---------------------------------------------------------------- storage

    /** Each frame with a padding of its own, filled with what must not be read. */
    void storage(Tally tally) {
        Scene scene = one.rounded();
        ScanGeometry g = subject.geometry();
        int n = g.samples();
        DisplacementField expected = subject.estimate(scene);
        Map<String, RfFrame[]> ways = new LinkedHashMap<>();
        ways.put(
                "FLOAT32, stride " + (n + 13) + " and " + (n + 2),
                new RfFrame[] {
                    RfFrame.of(g, padded(scene.reference(), n, 17, n + 13), 17, n + 13),
                    RfFrame.of(g, padded(scene.moved(), n, 1, n + 2), 1, n + 2)
                });
        ways.put(
                "INT16, dense",
                new RfFrame[] {
                    RfFrame.of(g, DisplacementTrustChecks.toShorts(scene.reference())),
                    RfFrame.of(g, DisplacementTrustChecks.toShorts(scene.moved()))
                });
        ways.put(
                "INT16, stride " + n + " and " + (n + 9),
                new RfFrame[] {
                    RfFrame.of(g, paddedShorts(scene.reference(), n, 0, n), 0, n),
                    RfFrame.of(g, paddedShorts(scene.moved(), n, 31, n + 9), 31, n + 9)
                });
        ways.put(
                "short buffers, stride " + (n + 4) + " and " + (n + 21),
                new RfFrame[] {
                    RfFrame.of(g, buffer(paddedShorts(scene.reference(), n, 3, n + 4)), 3, n + 4),
                    RfFrame.of(
                            g,
                            ShortBuffer.wrap(paddedShorts(scene.moved(), n, 40, n + 21)),
                            40,
                            n + 21)
                });
        ways.put(
                "INT16 and FLOAT32, stride " + (n + 6) + " and " + n,
                new RfFrame[] {
                    RfFrame.of(g, paddedShorts(scene.reference(), n, 8, n + 6), 8, n + 6),
                    RfFrame.of(g, scene.moved().clone())
                });
        DisplacementEstimator estimator = subject.make();
        ways.forEach(
                (way, frames) -> {
                    String condition = scene.condition() + ", " + way;
                    same(
                            tally,
                            expected,
                            DisplacementSubject.estimate(
                                    estimator, frames[0], frames[1], condition),
                            condition);
                });
    }

    private static float[] padded(float[] samples, int perLine, int offset, int stride) {
        int lines = samples.length / perLine;
        float[] result = new float[offset + lines * stride];
        for (int i = 0; i < result.length; i++) {
            result[i] = i % 3 == 0 ? Float.NaN : 30000 - i % 777;
        }
        for (int line = 0; line < lines; line++) {
            System.arraycopy(samples, line * perLine, result, offset + line * stride, perLine);
        }
        return result;
    }

    private static short[] paddedShorts(float[] samples, int perLine, int offset, int stride) {
        float[] floats = padded(samples, perLine, offset, stride);
        short[] result = new short[floats.length];
        for (int i = 0; i < result.length; i++) {
            result[i] = Float.isNaN(floats[i]) ? 32767 : (short) floats[i];
        }
        return result;
    }

    private static ShortBuffer buffer(short[] values) {
        ShortBuffer direct =
                ByteBuffer.allocateDirect(2 * values.length)
                        .order(ByteOrder.nativeOrder())
                        .asShortBuffer();
        direct.put(values);
        return direct;
    }

    // ---------------------------------------------------------------- threads

    void workers(Tally tally) {
        DisplacementField expected = subject.estimate(one);
        for (int count : new int[] {1, 2, 5}) {
            try (Workers workers = Workers.threads(count)) {
                repeat(tally, expected, workers, count + " workers");
            }
        }
        ExecutorService executor = Executors.newFixedThreadPool(2);
        try (Workers workers = Workers.on(executor, 3)) {
            repeat(tally, expected, workers, "3 workers on an executor of 2 threads");
        } finally {
            executor.shutdown();
        }
    }

    private void repeat(Tally tally, DisplacementField expected, Workers workers, String how) {
        DisplacementEstimator estimator = subject.make(subject.geometry(), workers);
        for (int pass = 0; pass < Sizes.passes(); pass++) {
            String condition = one.condition() + ", " + how;
            same(tally, expected, DisplacementSubject.estimate(estimator, one), condition);
        }
    }

    /** Two estimators of one provider, each with its own thread, do not feel each other. */
    void sideBySide(Tally tally) {
        DisplacementField expectedOne = subject.estimate(one);
        DisplacementField expectedTwo = subject.estimate(two);
        ExecutorService threads = Executors.newFixedThreadPool(2);
        try {
            Future<List<DisplacementField>> first = threads.submit(() -> fields(one));
            Future<List<DisplacementField>> second = threads.submit(() -> fields(two));
            for (DisplacementField field : first.get()) {
                same(tally, expectedOne, field, one.condition() + ", beside another estimator");
            }
            for (DisplacementField field : second.get()) {
                same(tally, expectedTwo, field, two.condition() + ", beside another estimator");
            }
        } catch (java.util.concurrent.ExecutionException e) {
            throw new AssertionError(
                    "estimating beside another estimator threw " + e.getCause(), e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new AssertionError("interrupted", e);
        } finally {
            threads.shutdown();
        }
    }

    private List<DisplacementField> fields(Scene scene) {
        DisplacementEstimator estimator = subject.make();
        DisplacementField[] fields = new DisplacementField[2 * Sizes.passes()];
        Arrays.setAll(fields, i -> DisplacementSubject.estimate(estimator, scene));
        return List.of(fields);
    }

    // ---------------------------------------------------------------- shapes

    void layout(Tally tally) {
        layout(tally, subject.make(), subject.geometry());
    }

    private void layout(Tally tally, DisplacementEstimator estimator, ScanGeometry geometry) {
        String condition = Scene.describe(geometry);
        FieldLayout layout = estimator.layout();
        tally.expect(
                layout.geometry().equals(geometry),
                "a layout for " + layout.geometry(),
                "one for " + geometry,
                condition);
        tally.expect(
                layout.equals(estimator.layout()) && layout.equals(estimator.newField().layout()),
                "different layouts from layout() and newField()",
                "the same layout always",
                condition);
        double slack = geometry.sampleSpacing();
        tally.expect(
                layout.grid().firstDepth() >= geometry.firstDepth() - slack
                        && layout.grid().lastDepth() <= geometry.lastDepth() + slack,
                "rows from "
                        + layout.grid().firstDepth()
                        + " m to "
                        + layout.grid().lastDepth()
                        + " m",
                "rows within the frame, from "
                        + geometry.firstDepth()
                        + " m to "
                        + geometry.lastDepth()
                        + " m",
                condition);
    }

    void wrongShapes(Tally tally) {
        ScanGeometry g = subject.geometry();
        DisplacementEstimator estimator = subject.make();
        DisplacementField out = estimator.newField();
        RfFrame right = one.referenceFrame();
        ScanGeometry moreLines = resized(g, g.lines() + 1, g.samples());
        ScanGeometry fewerSamples = resized(g, g.lines(), g.samples() - 1);
        Object[][] cases = {
            {moreLines, g.lines() + 1, g.lines()},
            {fewerSamples, g.samples() - 1, g.samples()},
        };
        for (Object[] c : cases) {
            RfFrame wrong = frame((ScanGeometry) c[0]);
            String how =
                    "estimator for "
                            + Scene.describe(g)
                            + ", %s frame "
                            + Scene.describe((ScanGeometry) c[0]);
            Refusals.expect(
                    tally,
                    how.formatted("first"),
                    () -> estimator.estimate(wrong, right, out),
                    c[1],
                    c[2]);
            Refusals.expect(
                    tally,
                    how.formatted("second"),
                    () -> estimator.estimate(right, wrong, out),
                    c[1],
                    c[2]);
        }
        otherGeometries(tally, estimator, right, out);
        RowGrid grid = estimator.layout().grid();
        FieldLayout moreRows =
                new FieldLayout(
                        g,
                        new RowGrid(grid.rows() + 1, grid.firstDepth(), grid.spacing()),
                        estimator.layout().lateral(),
                        estimator.layout().axialErrors());
        Refusals.expect(
                tally,
                "field with a row too many",
                () -> estimator.estimate(right, right, new DisplacementField(moreRows)),
                grid.rows() + 1,
                grid.rows());
        same(
                tally,
                subject.estimate(one),
                DisplacementSubject.estimate(estimator, one),
                one.condition() + ", after wrong shapes were refused");
    }

    /** Of the same sizes, and still not the same scan. */
    private void otherGeometries(
            Tally tally, DisplacementEstimator estimator, RfFrame right, DisplacementField out) {
        ScanGeometry g = subject.geometry();
        ScanGeometry faster =
                new ScanGeometry(
                        g.lines(),
                        g.samples(),
                        1.25 * g.samplingFrequency(),
                        g.centreFrequency(),
                        g.soundSpeed(),
                        g.firstDepth(),
                        g.layout(),
                        g.frameRate());
        ScanGeometry fanned =
                ScanGeometry.convex(
                        g.lines(),
                        g.samples(),
                        g.samplingFrequency(),
                        g.centreFrequency(),
                        g.soundSpeed(),
                        g.firstDepth(),
                        0.06,
                        0.005,
                        g.frameRate());
        for (ScanGeometry other : List.of(faster, fanned)) {
            Refusals.expect(
                    tally,
                    "estimator for " + Scene.describe(g) + ", frame " + Scene.describe(other),
                    () -> estimator.estimate(right, frame(other), out));
            Refusals.expect(
                    tally,
                    "estimator for " + Scene.describe(g) + ", frame " + Scene.describe(other),
                    () -> estimator.estimate(frame(other), right, out));
        }
    }

    private static RfFrame frame(ScanGeometry geometry) {
        return RfFrame.of(geometry, new float[geometry.lines() * geometry.samples()]);
    }

    private static ScanGeometry resized(ScanGeometry g, int lines, int samples) {
        return new ScanGeometry(
                lines,
                samples,
                g.samplingFrequency(),
                g.centreFrequency(),
                g.soundSpeed(),
                g.firstDepth(),
                g.layout(),
                g.frameRate());
    }

    private static List<ScanGeometry> manyGeometries() {
        return List.of(
                ScanGeometry.convex(24, 1400, 40e6, 5e6, 1540, 2e-3, 60e-3, 5e-3, 30),
                ScanGeometry.linear(4, 4000, 40e6, 7.5e6, 1540, 0, 0.3e-3, Double.NaN),
                ScanGeometry.linear(150, 500, 40e6, 7.5e6, 1480, 0, 0.15e-3, 50),
                ScanGeometry.linear(16, 900, 20e6, 5e6, 1540, 0, 0.3e-3, 50),
                ScanGeometry.linear(9, 2600, 100e6, 10e6, 1540, 0, 0.2e-3, 50),
                ScanGeometry.linear(17, 2111, 62.5e6, 3.5e6, 1540, 5e-3, 0.6e-3, 20),
                ScanGeometry.linear(2, 1200, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50),
                ScanGeometry.linear(1, 1200, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50),
                ScanGeometry.linear(5, 1, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50),
                ScanGeometry.linear(3, 24, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50));
    }

    void geometriesInARow(Tally tally) {
        DisplacementField before = subject.estimate(one);
        int worked = 0;
        for (ScanGeometry geometry : manyGeometries()) {
            DisplacementEstimator estimator;
            try {
                estimator = subject.make(geometry, Workers.sequential());
            } catch (RuntimeException e) {
                refused(tally, e, Scene.describe(geometry), "");
                continue;
            }
            worked++;
            layout(tally, estimator, geometry);
            works(tally, estimator, geometry);
        }
        tally.expect(worked > 0, "no geometry that works", "one at least", "various geometries");
        same(tally, before, subject.estimate(one), one.condition() + ", after other geometries");
    }

    private void works(Tally tally, DisplacementEstimator estimator, ScanGeometry geometry) {
        double shift = geometry.wavelength() / 10;
        Scene scene = Scenes.noise(geometry, 30, 1, shift, 801);
        DisplacementField field = DisplacementSubject.estimate(estimator, scene);
        String wrong = FieldRules.firstHalfKnown(field);
        tally.expect(
                wrong == null, String.valueOf(wrong), FieldRules.WHOLLY_KNOWN, scene.condition());
        Cells cells = new Cells(field.layout(), subject.stated(), shift);
        if (cells.isEmpty()) {
            return;
        }
        ErrorStatistics errors = new ErrorStatistics(geometry.wavelength());
        errors.add(field, scene.motion().at(field.layout().grid()), cells);
        tally.atLeast(
                "share of known places",
                errors.coverage(),
                subject.stated().coverage(),
                scene.condition());
        tally.atMost(
                "error (m, root mean square)",
                errors.rms(),
                subject.stated().strainError() * geometry.wavelength(),
                scene.condition());
    }

    /** A refusal names the parameter and has numbers for what was asked and what there is. */
    private void refused(Tally tally, RuntimeException e, String condition, String parameter) {
        List<String> names =
                parameter.isEmpty()
                        ? subject.provider().schema().parameters().stream()
                                .map(ParameterInfo::name)
                                .toList()
                        : List.of(parameter);
        tally.expect(
                e instanceof IllegalArgumentException
                        && (names.isEmpty() || Refusals.names(e.getMessage(), names))
                        && Refusals.numbers(e.getMessage()) >= 2,
                e.toString(),
                "to work, or an IllegalArgumentException that names one of "
                        + names
                        + " and the numbers of both config and geometry",
                condition);
    }

    // ---------------------------------------------------------------- parameters

    /** Each end of each parameter's range, and each choice, works or is refused in words. */
    void parameterLimits(Tally tally) {
        String text = subject.parameters();
        String start = text.isBlank() ? "" : text + ", ";
        for (ParameterInfo parameter : subject.provider().schema().parameters()) {
            if (text.contains(parameter.name())) {
                continue;
            }
            for (String value : ProviderChecks.limits(parameter)) {
                String condition = start + parameter.name() + "=" + value;
                DisplacementEstimator estimator;
                try {
                    estimator = subject.make(condition, subject.geometry(), Workers.sequential());
                } catch (RuntimeException e) {
                    refused(tally, e, condition, parameter.name());
                    continue;
                }
                layout(tally, estimator, subject.geometry());
                DisplacementField field = DisplacementSubject.estimate(estimator, one);
                String wrong = FieldRules.firstHalfKnown(field);
                tally.count(field.axial().length);
                tally.expect(
                        wrong == null,
                        String.valueOf(wrong),
                        FieldRules.WHOLLY_KNOWN,
                        condition + ", " + one.condition());
            }
        }
        if (subject.provider().schema().parameters().isEmpty()) {
            // Without parameters there are no limits to try: the defaults are all there is.
            layout(tally, subject.make(), subject.geometry());
        }
    }
}
