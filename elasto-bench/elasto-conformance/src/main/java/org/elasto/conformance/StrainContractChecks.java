package org.elasto.conformance;

import java.util.Arrays;
import java.util.List;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.config.ParameterInfo;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.StrainEstimator;

/** Memory, threads, shapes: what the contract promises whatever the strain. */
final class StrainContractChecks {

    private final StrainSubject subject;
    private final DisplacementField one;
    private final DisplacementField two;
    private final String condition;

    StrainContractChecks(StrainSubject subject) {
        this.subject = subject;
        one = noisy(subject.layout(), -0.003, 71);
        two = noisy(subject.layout(), 0.008, 72);
        Fields.forget(two, 0.2, 73);
        condition = "noisy press, seed 71, " + StrainSubject.describe(subject.layout());
    }

    static DisplacementField noisy(FieldLayout layout, double strain, long seed) {
        DisplacementField field =
                Fields.field(layout, (x, z) -> strain * z, (x, z) -> -strain * x + 1e-5, 0.5e-6);
        Fields.addErrors(field, seed);
        Fields.forget(field, 0.01, seed + 1);
        return field;
    }

    private static void same(Tally tally, StrainImage a, StrainImage b, String condition) {
        String difference = Bits.difference(a, b);
        tally.count(a.axial().length);
        tally.expect(difference == null, String.valueOf(difference), "the same bits", condition);
    }

    void inputsUnmodified(Tally tally) {
        DisplacementField copy = Bits.copy(one);
        StrainEstimator estimator = subject.make();
        estimator.estimate(one, estimator.newImage());
        String difference = Bits.difference(copy, one);
        tally.count(one.axial().length);
        tally.expect(
                difference == null,
                "the field changed: " + difference,
                "the field as it was",
                condition);
    }

    void overwritten(Tally tally) {
        StrainEstimator estimator = subject.make();
        for (DisplacementField field : List.of(one, two)) {
            StrainImage clean = Bits.copy(StrainSubject.estimate(estimator, field, condition));
            for (float garbage : new float[] {1e30f, Float.NaN, -7}) {
                StrainImage out = estimator.newImage();
                Arrays.fill(out.axial(), garbage);
                Arrays.fill(out.axialDeviation(), garbage);
                Arrays.fill(out.trusted(), true);
                if (out.lateral() != null) {
                    Arrays.fill(out.lateral(), garbage);
                    Arrays.fill(out.shear(), garbage);
                }
                estimator.estimate(Bits.copy(field), out);
                same(tally, clean, out, condition + ", image filled with " + garbage);
            }
        }
    }

    void repeatable(Tally tally) {
        StrainEstimator estimator = subject.make();
        StrainImage first = StrainSubject.estimate(estimator, one, condition);
        StrainImage copy = Bits.copy(first);
        for (DisplacementField field : List.of(two, new DisplacementField(subject.layout()))) {
            StrainImage other = StrainSubject.estimate(estimator, field, condition);
            tally.expect(
                    other.axial() != first.axial(),
                    "two images with the same memory",
                    "memory of its own for every image",
                    condition);
            same(tally, copy, first, condition + ", image of the first call after a second");
            same(
                    tally,
                    copy,
                    StrainSubject.estimate(estimator, one, condition),
                    condition + ", again after a call on another field");
        }
        for (int pass = 0; pass < Sizes.passes(); pass++) {
            same(tally, copy, subject.estimate(one, condition), condition + ", by a new estimator");
        }
    }

    void noAllocation(Tally tally) {
        StrainEstimator estimator = subject.make();
        StrainImage out = estimator.newImage();
        double bytes =
                Allocation.bytesPerCall(
                        () -> {
                            estimator.estimate(one, out);
                            estimator.estimate(two, out);
                        });
        tally.count(out.axial().length);
        tally.atMost("bytes allocated by two calls once warm", bytes, 0, condition);
    }

    void workers(Tally tally) {
        StrainImage expected = subject.estimate(one, condition);
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

    private void repeat(Tally tally, StrainImage expected, Workers workers, String how) {
        StrainEstimator estimator = subject.make(subject.layout(), workers);
        for (int pass = 0; pass < Sizes.passes(); pass++) {
            same(
                    tally,
                    expected,
                    StrainSubject.estimate(estimator, one, condition),
                    condition + ", " + how);
        }
    }

    void layout(Tally tally) {
        layout(tally, subject.make(), subject.layout());
    }

    private static void layout(Tally tally, StrainEstimator estimator, FieldLayout field) {
        String condition = StrainSubject.describe(field);
        StrainLayout layout = estimator.layout();
        tally.expect(
                layout.geometry().equals(field.geometry()),
                "an image of " + layout.geometry(),
                "one of " + field.geometry(),
                condition);
        tally.expect(
                layout.equals(estimator.layout()) && layout.equals(estimator.newImage().layout()),
                "different layouts from layout() and newImage()",
                "the same layout always",
                condition);
        tally.expect(
                !layout.lateral() || field.lateral(),
                "lateral strain from a field without lateral displacement",
                "none",
                condition);
        double slack = field.grid().spacing() / 2;
        tally.expect(
                layout.grid().firstDepth() >= field.grid().firstDepth() - slack
                        && layout.grid().lastDepth() <= field.grid().lastDepth() + slack,
                "rows from "
                        + layout.grid().firstDepth()
                        + " m to "
                        + layout.grid().lastDepth()
                        + " m",
                "rows within the field, from "
                        + field.grid().firstDepth()
                        + " m to "
                        + field.grid().lastDepth()
                        + " m",
                condition);
    }

    void wrongShapes(Tally tally) {
        FieldLayout layout = subject.layout();
        StrainEstimator estimator = subject.make();
        StrainImage out = estimator.newImage();
        RowGrid grid = layout.grid();
        FieldLayout moreRows =
                new FieldLayout(
                        layout.geometry(),
                        new RowGrid(grid.rows() + 1, grid.firstDepth(), grid.spacing()),
                        layout.lateral(),
                        layout.axialErrors());
        int lines = layout.geometry().lines();
        FieldLayout fewerLines =
                new FieldLayout(
                        lines(layout.geometry(), lines - 1),
                        grid,
                        layout.lateral(),
                        layout.axialErrors());
        Refusals.expect(
                tally,
                condition + ", field with a row too many",
                () -> estimator.estimate(new DisplacementField(moreRows), out),
                grid.rows() + 1,
                grid.rows());
        Refusals.expect(
                tally,
                condition + ", field with a line too few",
                () -> estimator.estimate(new DisplacementField(fewerLines), out),
                lines - 1,
                lines);
        StrainLayout image = estimator.layout();
        StrainLayout wrongImage =
                new StrainLayout(
                        image.geometry(),
                        new RowGrid(
                                image.grid().rows() + 1,
                                image.grid().firstDepth(),
                                image.grid().spacing()),
                        image.lateral(),
                        image.resolution());
        Refusals.expect(
                tally,
                condition + ", image with a row too many",
                () -> estimator.estimate(one, new StrainImage(wrongImage)),
                image.grid().rows() + 1,
                image.grid().rows());
        same(
                tally,
                subject.estimate(one, condition),
                StrainSubject.estimate(estimator, one, condition),
                condition + ", after wrong shapes were refused");
    }

    private static ScanGeometry lines(ScanGeometry g, int lines) {
        return new ScanGeometry(
                lines,
                g.samples(),
                g.samplingFrequency(),
                g.centreFrequency(),
                g.soundSpeed(),
                g.firstDepth(),
                g.layout(),
                g.frameRate());
    }

    void layoutsInARow(Tally tally) {
        ScanGeometry convex = ScanGeometry.convex(20, 3000, 40e6, 5e6, 1540, 0, 0.06, 5e-3, 30);
        ScanGeometry linear = ScanGeometry.linear(8, 3000, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        ErrorCorrelation errors = new ErrorCorrelation(ErrorCorrelation.Shape.GAUSSIAN, 2e-3);
        List<FieldLayout> layouts =
                List.of(
                        new FieldLayout(convex, new RowGrid(200, 1e-3, 0.2e-3), true, errors),
                        new FieldLayout(
                                lines(linear, 1), new RowGrid(200, 0, 0.15e-3), false, errors),
                        new FieldLayout(
                                lines(linear, 2), new RowGrid(200, 0, 0.15e-3), true, errors),
                        new FieldLayout(linear, new RowGrid(2000, 0, 20e-6), false, errors),
                        new FieldLayout(
                                linear,
                                new RowGrid(20, 0, 1.5e-3),
                                false,
                                ErrorCorrelation.INDEPENDENT),
                        new FieldLayout(linear, new RowGrid(3, 0, 0.15e-3), true, errors),
                        new FieldLayout(linear, new RowGrid(1, 0, 0.15e-3), false, errors));
        StrainImage before = subject.estimate(one, condition);
        int worked = 0;
        for (FieldLayout layout : layouts) {
            StrainEstimator estimator;
            try {
                estimator = subject.make(layout, Workers.sequential());
            } catch (RuntimeException e) {
                refused(tally, e, StrainSubject.describe(layout), "");
                continue;
            }
            worked++;
            layout(tally, estimator, layout);
            StrainImage image =
                    StrainSubject.estimate(
                            estimator, noisy(layout, -0.003, 81), StrainSubject.describe(layout));
            String wrong = FieldRules.firstHalfKnown(image);
            tally.expect(
                    wrong == null,
                    String.valueOf(wrong),
                    FieldRules.STRAIN_WHOLLY_KNOWN,
                    StrainSubject.describe(layout));
        }
        tally.expect(worked > 0, "no layout that works", "one at least", "various layouts");
        same(tally, before, subject.estimate(one, condition), condition + ", after other layouts");
    }

    private void refused(Tally tally, RuntimeException e, String how, String parameter) {
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
                        + " and the numbers of both config and layout",
                how);
    }

    void parameterLimits(Tally tally) {
        String text = subject.parameters();
        String start = text.isBlank() ? "" : text + ", ";
        for (ParameterInfo parameter : subject.provider().schema().parameters()) {
            if (text.contains(parameter.name())) {
                continue;
            }
            for (String value : ProviderChecks.limits(parameter)) {
                String how = start + parameter.name() + "=" + value;
                StrainEstimator estimator;
                try {
                    estimator =
                            Catalogue.create(
                                    subject.provider(),
                                    how,
                                    subject.layout(),
                                    Workers.sequential());
                } catch (RuntimeException e) {
                    refused(tally, e, how, parameter.name());
                    continue;
                }
                layout(tally, estimator, subject.layout());
                StrainImage image = StrainSubject.estimate(estimator, one, how);
                String wrong = FieldRules.firstHalfKnown(image);
                tally.count(image.axial().length);
                tally.expect(
                        wrong == null,
                        String.valueOf(wrong),
                        FieldRules.STRAIN_WHOLLY_KNOWN,
                        how + ", " + condition);
            }
        }
        if (subject.provider().schema().parameters().isEmpty()) {
            layout(tally, subject.make(), subject.layout());
        }
    }
}
