package org.elasto.conformance;

import java.util.ArrayList;
import java.util.List;
import org.elasto.api.DisplacementField;
import org.elasto.api.ErrorCorrelation;
import org.elasto.api.FieldLayout;
import org.elasto.api.RowGrid;
import org.elasto.api.StrainImage;
import org.elasto.api.plugin.StrainEstimator;

/** Is the strain right, and is its error what is predicted? */
final class StrainValueChecks {

    private static final double DEVIATION = 0.5e-6;
    private static final Fields.Formula NONE = (x, z) -> 0;

    private final StrainSubject subject;
    private final StrainExpectations stated;

    StrainValueChecks(StrainSubject subject) {
        this.subject = subject;
        this.stated = subject.stated();
    }

    private String condition(FieldLayout layout, String what) {
        return what + ", " + StrainSubject.describe(layout);
    }

    private DisplacementField linear(FieldLayout layout, double strain, double offset) {
        return Fields.field(layout, (x, z) -> strain * z + offset, NONE, DEVIATION);
    }

    /** Every error correlation, since it may steer the weights. */
    private List<FieldLayout> layouts() {
        return List.of(
                subject.layout(),
                subject.withErrors(ErrorCorrelation.INDEPENDENT),
                subject.withErrors(
                        new ErrorCorrelation(ErrorCorrelation.Shape.TRIANGULAR, 1.5e-3)));
    }

    void linear(Tally tally) {
        for (FieldLayout layout : layouts()) {
            for (double strain : new double[] {-0.003, 0.003, -0.02, 1e-4}) {
                String condition =
                        condition(layout, "displacement linear in depth, strain " + strain);
                StrainImage image = subject.estimate(linear(layout, strain, 3e-5), condition);
                near(tally, image, strain, stated.exactness(), condition);
            }
        }
    }

    void constant(Tally tally) {
        for (double offset : new double[] {0, 4e-4, -2e-5}) {
            String condition = condition(subject.layout(), "displacement " + offset + " m");
            StrainImage image = subject.estimate(linear(subject.layout(), 0, offset), condition);
            near(tally, image, 0, stated.exactness(), condition);
            if (image.lateral() != null) {
                greatest(tally, "lateral strain", image.lateral(), image, condition);
                greatest(tally, "shear strain", image.shear(), image, condition);
            }
        }
    }

    private void greatest(
            Tally tally, String what, float[] plane, StrainImage image, String condition) {
        double most = 0;
        int known = 0;
        for (int at : subject.inside(image.layout())) {
            if (!Float.isNaN(plane[at])) {
                known++;
                most = Math.max(most, Math.abs(plane[at]));
            }
        }
        tally.count(known);
        tally.atLeast("places with " + what, known, 1, condition);
        tally.atMost("greatest " + what, most, 10 * stated.exactness(), condition);
    }

    /** Greatest error of the known places, and how many are known. */
    private void near(
            Tally tally, StrainImage image, double strain, double limit, String condition) {
        double most = 0;
        int known = 0;
        int[] inside = subject.inside(image.layout());
        for (int at : inside) {
            if (Float.isFinite(image.axial()[at])) {
                known++;
                most = Math.max(most, Math.abs(image.axial()[at] - strain));
            }
        }
        tally.count(known);
        tally.atMost(
                "greatest error of strain " + strain,
                most,
                limit + 1e-5 * Math.abs(strain),
                condition);
        tally.atLeast(
                "share of known places",
                (double) known / inside.length,
                stated.coverage(),
                condition);
    }

    void lateral(Tally tally) {
        FieldLayout layout = subject.layout();
        if (!subject.make().layout().lateral()) {
            FieldLayout axialOnly =
                    new FieldLayout(layout.geometry(), layout.grid(), false, layout.axialErrors());
            boolean has =
                    subject.make(axialOnly, org.elasto.api.Workers.sequential()).layout().lateral();
            tally.expect(
                    !has,
                    "lateral strain only where the field has no lateral displacement",
                    "none, or from fields with lateral displacement",
                    condition(layout, "layouts"));
            return;
        }
        double xx = 0.002;
        double xz = -0.001;
        double zx = 0.0006;
        DisplacementField field =
                Fields.field(
                        layout,
                        (x, z) -> -0.003 * z + zx * x,
                        (x, z) -> xx * x + xz * z,
                        DEVIATION);
        String condition = condition(layout, "displacements linear in depth and across");
        StrainImage image = subject.estimate(field, condition);
        near(tally, image, -0.003, 10 * stated.exactness(), condition);
        value(tally, "lateral strain", image.lateral(), image, xx, condition);
        value(tally, "shear strain", image.shear(), image, (xz + zx) / 2, condition);
    }

    private void value(
            Tally tally,
            String what,
            float[] plane,
            StrainImage image,
            double expected,
            String condition) {
        double most = 0;
        int known = 0;
        for (int at : subject.inside(image.layout())) {
            if (Float.isFinite(plane[at])) {
                known++;
                most = Math.max(most, Math.abs(plane[at] - expected));
            }
        }
        tally.count(known);
        tally.atLeast("places with " + what, known, 1, condition);
        tally.atMost(
                "greatest error of " + what + " " + expected,
                most,
                10 * stated.exactness(),
                condition);
    }

    void scaling(Tally tally) {
        DisplacementField field = linear(subject.layout(), -0.003, 1e-5);
        Fields.addErrors(field, 21);
        DisplacementField twice = Bits.copy(field);
        for (int i = 0; i < twice.axial().length; i++) {
            twice.axial()[i] *= 2;
            twice.axialDeviation()[i] *= stated.ownScale() ? 1 : 2;
        }
        String condition =
                condition(
                        subject.layout(),
                        stated.ownScale()
                                ? "displacements doubled, seed 21"
                                : "displacements and deviations doubled, seed 21");
        double factor = stated.ownScale() ? 1 : 2;
        StrainImage a = subject.estimate(field, condition);
        StrainImage b = subject.estimate(twice, condition);
        double most = 0;
        double mostOfDeviation = 0;
        int known = 0;
        for (int at : subject.inside(a.layout())) {
            if (Float.isFinite(a.axial()[at]) && Float.isFinite(b.axial()[at])) {
                known++;
                most = Math.max(most, Math.abs(2 * a.axial()[at] - b.axial()[at]));
                double relative = b.axialDeviation()[at] / (factor * a.axialDeviation()[at]);
                mostOfDeviation = Math.max(mostOfDeviation, Math.abs(relative - 1));
            }
        }
        tally.count(known);
        tally.atLeast("known places", known, 1, condition);
        tally.atMost(
                "greatest difference to twice the strain", most, stated.exactness(), condition);
        tally.atMost(
                "greatest relative difference to "
                        + (stated.ownScale() ? "the same" : "twice the")
                        + " deviation",
                mostOfDeviation,
                0.01,
                condition);
    }

    void unknownCells(Tally tally) {
        FieldLayout layout = subject.layout();
        DisplacementField holes = linear(layout, -0.004, 0);
        Fields.forget(holes, 0.05, 31);
        String condition = condition(layout, "5 % of the places unknown, seed 31");
        StrainImage image = subject.estimate(holes, condition);
        double most = 0;
        int known = 0;
        for (int at : subject.inside(image.layout())) {
            if (Float.isFinite(image.axial()[at])) {
                known++;
                most = Math.max(most, Math.abs(image.axial()[at] + 0.004));
            }
        }
        tally.count(known);
        tally.atLeast("known places", known, 1, condition);
        tally.atMost("greatest error of strain", most, 5 * stated.exactness(), condition);

        DisplacementField nothing = new DisplacementField(layout);
        StrainImage dark = subject.estimate(nothing, "nothing known");
        tally.count(dark.axial().length);
        tally.atMost("known places", known(dark), 0, condition(layout, "nothing known"));
        wholly(tally, dark, condition(layout, "nothing known"));
        unknownBand(tally, layout);
    }

    /** A gap much deeper than the resolution: unknown in its middle. */
    private void unknownBand(Tally tally, FieldLayout layout) {
        RowGrid grid = layout.grid();
        double middle = (grid.firstDepth() + grid.lastDepth()) / 2;
        DisplacementField gap = linear(layout, -0.004, 0);
        double deep = (grid.lastDepth() - grid.firstDepth()) / 2;
        for (int i = 0; i < gap.axial().length; i++) {
            if (Math.abs(grid.depth(i % grid.rows()) - middle) < deep / 2) {
                gap.markUnknown(i);
            }
        }
        String condition =
                condition(
                        layout, "unknown from " + (middle - deep / 2) + " m, " + deep + " m deep");
        StrainImage image = subject.estimate(gap, condition);
        int claimed = 0;
        int seen = 0;
        for (int i = 0; i < image.axial().length; i++) {
            double z = image.layout().grid().depth(i % image.rows());
            if (Math.abs(z - middle) < deep / 2 - 2 * image.layout().resolution()) {
                seen++;
                claimed += Float.isFinite(image.axial()[i]) || image.trusted()[i] ? 1 : 0;
            }
        }
        tally.count(seen);
        tally.atLeast("places within the gap", seen, 1, condition);
        tally.atMost("places known or trusted within the gap", claimed, 0, condition);
        wholly(tally, image, condition);
    }

    private static int known(StrainImage image) {
        int known = 0;
        for (float strain : image.axial()) {
            known += Float.isNaN(strain) ? 0 : 1;
        }
        return known;
    }

    private static void wholly(Tally tally, StrainImage image, String condition) {
        String wrong = FieldRules.firstHalfKnown(image);
        tally.count(image.axial().length);
        tally.expect(
                wrong == null, String.valueOf(wrong), FieldRules.STRAIN_WHOLLY_KNOWN, condition);
    }

    /** Trust and deviations hang together, whatever the field. */
    void whollyKnown(Tally tally) {
        FieldLayout layout = subject.layout();
        DisplacementField noisy = linear(layout, -0.003, 0);
        Fields.addErrors(noisy, 41);
        wholly(tally, subject.estimate(noisy, "noisy"), condition(layout, "noisy, seed 41"));
        DisplacementField half = Bits.copy(noisy);
        Fields.forget(half, 0.5, 42);
        wholly(tally, subject.estimate(half, "half"), condition(layout, "half unknown, seed 42"));
        DisplacementField coarse = Bits.copy(noisy);
        for (int i = 0; i < coarse.axial().length; i++) {
            coarse.axialDeviation()[i] = i % 3 == 0 ? 1e-9f : 1e-3f;
            coarse.correlation()[i] = i % 5 == 0 ? 1e-3f : 1f;
        }
        String condition = condition(layout, "deviations from 1 nm to 1 mm");
        wholly(tally, subject.estimate(coarse, condition), condition);
    }

    /** Errors seen over deviations predicted, for errors as the layout states them. */
    void predictedDeviations(Tally tally) {
        for (FieldLayout layout : layouts()) {
            for (boolean even : new boolean[] {true, false}) {
                deviations(tally, layout, even);
            }
        }
    }

    private void deviations(Tally tally, FieldLayout layout, boolean even) {
        StrainEstimator estimator = subject.make(layout, org.elasto.api.Workers.sequential());
        int[] inside = subject.inside(estimator.layout());
        double squares = 0;
        long known = 0;
        int repeats = Sizes.repeats();
        String condition =
                condition(
                        layout,
                        (even ? "even" : "uneven") + " errors, " + repeats + " fields, seeds 51…");
        for (int repeat = 0; repeat < repeats; repeat++) {
            DisplacementField field = linear(layout, -0.003, 0);
            for (int i = 0; i < field.axial().length && !even; i++) {
                double z = layout.grid().depth(i % field.rows());
                field.axialDeviation()[i] *= (float) (1 + 0.6 * Math.sin(z / 1e-3));
            }
            Fields.addErrors(field, 51 + repeat);
            StrainImage image = StrainSubject.estimate(estimator, field, condition);
            for (int at : inside) {
                if (Float.isFinite(image.axial()[at])) {
                    known++;
                    double relative = (image.axial()[at] + 0.003) / image.axialDeviation()[at];
                    squares += relative * relative;
                }
            }
        }
        tally.count(known);
        tally.between(
                "errors over their predicted deviations",
                Math.sqrt(squares / known),
                stated.leastDeviationRatio(),
                stated.mostDeviationRatio(),
                condition);
    }

    /** A step of strain is blurred over the stated depth. */
    void resolution(Tally tally) {
        FieldLayout layout = subject.layout();
        RowGrid grid = layout.grid();
        double middle = (grid.firstDepth() + grid.lastDepth()) / 2 + 0.3 * grid.spacing();
        double low = -0.002;
        double high = -0.006;
        DisplacementField field =
                Fields.field(
                        layout,
                        (x, z) -> z < middle ? low * (z - middle) : high * (z - middle),
                        NONE,
                        DEVIATION);
        String condition =
                condition(layout, "strain from " + low + " to " + high + " at " + middle + " m");
        StrainEstimator estimator = subject.make();
        StrainImage image = StrainSubject.estimate(estimator, field, condition);
        RowGrid rows = image.layout().grid();
        int line = layout.geometry().lines() / 2;
        double ten = crossing(image, line, low + 0.1 * (high - low));
        double ninety = crossing(image, line, low + 0.9 * (high - low));
        double seen = (ninety - ten) * rows.spacing();
        double said = image.layout().resolution();
        tally.count(image.rows());
        tally.between(
                "depth of the rise from 10 % to 90 % (m)",
                seen,
                said * (1 - Math.max(0.3, stated.resolutionTolerance())) - rows.spacing(),
                said * (1 + stated.resolutionTolerance()) + rows.spacing(),
                condition);
        double at = rows.depth((ten + ninety) / 2);
        tally.between(
                "depth of the middle of the rise (m)",
                at,
                middle - rows.spacing(),
                middle + rows.spacing(),
                condition);
    }

    /** Row, with its fraction, at which strain first passes a value; NaN if it never does. */
    private static double crossing(StrainImage image, int line, double value) {
        int at = line * image.rows();
        for (int row = 1; row < image.rows(); row++) {
            double before = image.axial()[at + row - 1];
            double here = image.axial()[at + row];
            if (before > value && here <= value) {
                return row - 1 + (before - value) / (before - here);
            }
        }
        return Double.NaN;
    }

    /** First line last: the image is mirrored. */
    void mirror(Tally tally) {
        FieldLayout layout = subject.layout();
        DisplacementField field = linear(layout, -0.003, 0);
        Fields.addErrors(field, 61);
        int rows = field.rows();
        DisplacementField mirrored = new DisplacementField(layout);
        for (int i = 0; i < field.axial().length; i++) {
            int to = (field.lines() - 1 - i / rows) * rows + i % rows;
            mirrored.axial()[to] = field.axial()[i];
            mirrored.axialDeviation()[to] = field.axialDeviation()[i];
            mirrored.correlation()[to] = field.correlation()[i];
            if (field.lateral() != null) {
                mirrored.lateral()[to] = -field.lateral()[i];
                mirrored.lateralDeviation()[to] = field.lateralDeviation()[i];
            }
        }
        String condition = condition(layout, "lines mirrored, seed 61");
        StrainImage a = subject.estimate(field, condition);
        StrainImage b = subject.estimate(mirrored, condition);
        List<String> differences = new ArrayList<>();
        int known = 0;
        for (int i = 0; i < a.axial().length; i++) {
            int to = (a.lines() - 1 - i / a.rows()) * a.rows() + i % a.rows();
            boolean bothUnknown = Float.isNaN(a.axial()[i]) && Float.isNaN(b.axial()[to]);
            known += bothUnknown ? 0 : 1;
            if (!bothUnknown && !(Math.abs(a.axial()[i] - b.axial()[to]) <= stated.exactness())) {
                differences.add(
                        FieldRules.place(i, a.rows())
                                + " is "
                                + a.axial()[i]
                                + " and mirrored "
                                + b.axial()[to]);
            }
        }
        tally.count(known);
        tally.atLeast("known places", known, 1, condition);
        tally.expect(
                differences.isEmpty(),
                differences.isEmpty() ? "" : differences.get(0),
                "the same strain within " + stated.exactness(),
                condition);
    }
}
