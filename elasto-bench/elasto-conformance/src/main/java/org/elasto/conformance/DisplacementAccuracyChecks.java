package org.elasto.conformance;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.elasto.api.DisplacementField;
import org.elasto.api.plugin.DisplacementEstimator;

/** Is the motion right, and is its error what is predicted? */
final class DisplacementAccuracyChecks {

    /** Shifts in samples: on a sample, between samples at various places, across several cycles. */
    private static final double[] SHIFTS = {0.37, -0.5, 1.21, -3.3, 0.13, 2.77, -0.84, 5.5};

    private final DisplacementSubject subject;
    private final DisplacementExpectations stated;

    DisplacementAccuracyChecks(DisplacementSubject subject) {
        this.subject = subject;
        this.stated = subject.stated();
    }

    private double systematic() {
        return stated.systematicError() * subject.wavelength();
    }

    void zeroMotion(Tally tally) {
        Scene noise = Scenes.noise(subject.geometry(), Double.POSITIVE_INFINITY, 1, 0, 11);
        Scene speckle = pressed(0, 12);
        Scene still =
                new Scene(
                        speckle.geometry(),
                        speckle.reference(),
                        speckle.reference(),
                        noise.motion(),
                        speckle.echoLevel(),
                        speckle.condition() + ", the same frame twice");
        for (Scene scene : List.of(noise, still)) {
            DisplacementField field = subject.estimate(scene);
            double most = 0;
            double mostLateral = 0;
            int known = 0;
            for (int i = 0; i < field.axial().length; i++) {
                if (FieldRules.isKnown(field, i)) {
                    known++;
                    most = Math.max(most, Math.abs(field.axial()[i]));
                    if (field.lateral() != null) {
                        mostLateral = Math.max(mostLateral, Math.abs(field.lateral()[i]));
                    }
                }
            }
            tally.count(known);
            tally.atMost(
                    "greatest axial displacement (m)",
                    most,
                    stated.zeroMotionError() * subject.wavelength(),
                    scene.condition());
            if (field.lateral() != null) {
                tally.atMost(
                        "greatest lateral displacement (m)",
                        mostLateral,
                        0.02 * subject.geometry().lineSpacing(0),
                        scene.condition());
            }
            ErrorStatistics errors = new ErrorStatistics(subject.wavelength());
            errors.add(field, scene.motion().at(field.layout().grid()), subject.cells(field, 0));
            tally.atMost(
                    "error (m, root mean square)", errors.rms(), systematic(), scene.condition());
            tally.atLeast(
                    "share of known places",
                    errors.coverage(),
                    stated.coverage(),
                    scene.condition());
        }
    }

    void shiftsNearTheBound(Tally tally) {
        for (double decibels : new double[] {10, 20, 30, 40}) {
            nearTheBound(tally, decibels, 1);
        }
    }

    void decorrelatedShiftsNearTheBound(Tally tally) {
        nearTheBound(tally, 30, 0.98);
        nearTheBound(tally, 30, 0.9);
    }

    private void nearTheBound(Tally tally, double decibels, double correlation) {
        List<Scene> scenes = shifted(decibels, correlation);
        ErrorStatistics errors = subject.errors(scenes, 6 * subject.sampleSpacing());
        String condition = condition(scenes);
        double bound = cells().bound(decibels, correlation);
        double limit = Math.hypot(stated.boundMultiple() * bound, systematic());
        tally.count(errors.known());
        tally.atMost(
                "error (m, root mean square; the Cramér-Rao bound is " + Tally.number(bound) + ")",
                errors.rms(),
                limit,
                condition);
        judge(tally, errors, condition);
    }

    void predictedDeviations(Tally tally) {
        double[][] cases = {{10, 1}, {20, 1}, {30, 1}, {30, 0.95}};
        for (double[] c : cases) {
            List<Scene> scenes = shifted(c[0], c[1]);
            ErrorStatistics errors = subject.errors(scenes, 6 * subject.sampleSpacing());
            tally.count(errors.known());
            tally.between(
                    "errors over their predicted deviations",
                    errors.ratio(),
                    stated.leastDeviationRatio(),
                    stated.mostDeviationRatio(),
                    condition(scenes));
        }
    }

    /** The errors along a line go together as the layout says: strain estimators rely on it. */
    void errorCorrelation(Tally tally) {
        List<Scene> scenes = shifted(20, 1);
        DisplacementEstimator estimator = subject.make();
        double length = estimator.layout().axialErrors().length();
        double spacing = estimator.layout().grid().spacing();
        for (double share : new double[] {0.25, 0.5, 0.75, 1, 1.5}) {
            int lag = Math.max(1, (int) Math.round(share * length / spacing));
            double both = 0;
            double squares = 0;
            long pairs = 0;
            for (Scene scene : scenes) {
                DisplacementField field = DisplacementSubject.estimate(estimator, scene);
                float[] truth = scene.motion().at(field.layout().grid()).axial();
                Cells cells = subject.cells(field, 6 * subject.sampleSpacing());
                for (int line = cells.firstLine; line < cells.endLine; line++) {
                    for (int row = cells.firstRow; row + lag < cells.endRow; row++) {
                        int i = line * cells.rows() + row;
                        if (isFair(field, truth, i) && isFair(field, truth, i + lag)) {
                            double a = field.axial()[i] - truth[i];
                            double b = field.axial()[i + lag] - truth[i + lag];
                            both += a * b;
                            squares += (a * a + b * b) / 2;
                            pairs++;
                        }
                    }
                }
            }
            double expected = estimator.layout().axialErrors().at(lag * spacing);
            tally.count(pairs);
            tally.between(
                    "correlation of errors "
                            + Tally.number(lag * spacing)
                            + " m apart (stated "
                            + Tally.number(expected)
                            + ")",
                    both / squares,
                    expected - 0.2,
                    expected + 0.2,
                    condition(scenes));
        }
    }

    private boolean isFair(DisplacementField field, float[] truth, int at) {
        return FieldRules.isKnown(field, at)
                && Math.abs(field.axial()[at] - truth[at]) < subject.wavelength() / 4;
    }

    void press(Tally tally) {
        for (double strain : strains(0.003, stated.largestStrain())) {
            for (int repeat = 0; repeat < Math.max(1, Sizes.repeats() / 4); repeat++) {
                Scene scene = pressed(strain, 31 + repeat);
                ErrorStatistics errors =
                        subject.errors(List.of(scene), deepest() * Math.abs(strain));
                tally.count(errors.known());
                tally.atMost(
                        "error (m, root mean square)",
                        errors.rms(),
                        stated.strainError() * subject.wavelength(),
                        scene.condition());
                judge(tally, errors, scene.condition());
            }
        }
    }

    void mixture(Tally tally) {
        for (double strain : strains(stated.largestStrain() / 2)) {
            for (int repeat = 0; repeat < Math.max(1, Sizes.repeats() / 4); repeat++) {
                Scene scene =
                        Scenes.phantom(
                                subject.geometry(),
                                String.format(
                                        Locale.ROOT,
                                        "pressed by %.3g %%, drifted 50 um sideways, 5 %%"
                                                + " replaced, 20 dB",
                                        100 * strain),
                                41 + repeat,
                                builder ->
                                        builder.press(0, strain)
                                                .drift(0, 50e-6)
                                                .sliceDrift(0, 0.05)
                                                .attenuation(0, 0)
                                                .noise(20, deepest() / 2));
                ErrorStatistics errors =
                        subject.errors(List.of(scene), deepest() * Math.abs(strain));
                // Neighbouring lines of speckle share their echoes: no more than one line counts.
                double bound =
                        new Cells(subject.make().layout(), stated.withWindowWidth(0), 0)
                                .bound(20, 0.95);
                tally.count(errors.known());
                tally.atMost(
                        "error (m, root mean square)",
                        errors.rms(),
                        Math.hypot(
                                stated.strainError() * subject.wavelength(),
                                stated.boundMultiple() * bound),
                        scene.condition());
                judge(tally, errors, scene.condition());
            }
        }
    }

    void sidewaysDrift(Tally tally) {
        for (double drift : new double[] {0.15e-3, -0.15e-3}) {
            Scene scene = drifted(drift, 35);
            ErrorStatistics errors = subject.errors(List.of(scene), 0);
            tally.count(errors.known());
            tally.atMost(
                    "axial error (m, root mean square)",
                    errors.rms(),
                    stated.strainError() * subject.wavelength(),
                    scene.condition());
            judge(tally, errors, scene.condition());
            if (subject.make().layout().lateral()) {
                lateralDrift(tally, errors, drift, scene.condition());
            }
        }
    }

    private void lateralDrift(Tally tally, ErrorStatistics errors, double drift, String condition) {
        tally.atLeast(
                "share of places of known lateral displacement",
                errors.lateralCoverage(),
                stated.coverage(),
                condition);
        tally.atMost(
                "lateral error (m, root mean square)",
                errors.lateralRms(),
                stated.lateralError(),
                condition);
        // At a level of noise where it, and not interpolation between lines, makes the error.
        Scene noisy = drifted(drift, 20);
        tally.between(
                "lateral errors over their predicted deviations",
                subject.errors(List.of(noisy), 0).lateralRatio(),
                0.5,
                2,
                noisy.condition());
    }

    private Scene drifted(double drift, double decibels) {
        return Scenes.phantom(
                subject.geometry(),
                String.format(
                        Locale.ROOT, "drifted %.3g um sideways, %.3g dB", drift * 1e6, decibels),
                51,
                builder ->
                        builder.drift(0, drift).attenuation(0, 0).noise(decibels, deepest() / 2));
    }

    void grossErrors(Tally tally) {
        double far = 0.9 * stated.largestDisplacement();
        for (double shift : new double[] {far, -far}) {
            List<Scene> scenes = new ArrayList<>();
            for (int repeat = 0; repeat < Math.max(1, Sizes.repeats() / 4); repeat++) {
                scenes.add(Scenes.noise(subject.geometry(), 20, 0.98, shift, 61 + repeat));
            }
            ErrorStatistics errors = subject.errors(scenes, shift);
            tally.count(errors.known());
            judge(tally, errors, condition(scenes));
        }
    }

    private void judge(Tally tally, ErrorStatistics errors, String condition) {
        tally.atLeast("share of known places", errors.coverage(), stated.coverage(), condition);
        tally.atMost(
                "share of known places off by more than a quarter of the wavelength",
                errors.grossShare(),
                stated.grossShare(),
                condition);
    }

    private List<Scene> shifted(double decibels, double correlation) {
        List<Scene> scenes = new ArrayList<>();
        for (int i = 0; i < Sizes.repeats(); i++) {
            double shift = subject.shift(SHIFTS[i % SHIFTS.length]);
            scenes.add(Scenes.noise(subject.geometry(), decibels, correlation, shift, 101 + i));
        }
        return scenes;
    }

    private static String condition(List<Scene> scenes) {
        return scenes.get(0).condition()
                + (scenes.size() == 1
                        ? ""
                        : " and " + (scenes.size() - 1) + " other shifts, next seeds");
    }

    private Cells cells() {
        return new Cells(subject.make().layout(), stated, 0);
    }

    private double deepest() {
        return subject.geometry().lastDepth();
    }

    /** Either sign of each, kept to what the estimator can follow at the far end. */
    private double[] strains(double... sizes) {
        double[] result = new double[2 * sizes.length];
        for (int i = 0; i < sizes.length; i++) {
            result[2 * i] = subject.strain(sizes[i]);
            result[2 * i + 1] = -result[2 * i];
        }
        return result;
    }

    private Scene pressed(double strain, long seed) {
        return Scenes.phantom(
                subject.geometry(),
                String.format(Locale.ROOT, "pressed by %.3g %%, 40 dB", 100 * strain),
                seed,
                builder -> builder.press(0, strain).attenuation(0, 0).noise(40, deepest() / 2));
    }
}
