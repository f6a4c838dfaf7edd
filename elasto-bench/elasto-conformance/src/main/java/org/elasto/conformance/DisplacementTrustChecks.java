package org.elasto.conformance;

import java.util.List;
import java.util.Locale;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.phantoms.Bone;
import org.elasto.phantoms.LostContact;

/** Does the estimator know where it cannot know? */
final class DisplacementTrustChecks {

    private final DisplacementSubject subject;
    private final DisplacementExpectations stated;
    private final Scene scene;

    DisplacementTrustChecks(DisplacementSubject subject) {
        this.subject = subject;
        this.stated = subject.stated();
        scene = Scenes.noise(subject.geometry(), 30, 1, subject.shift(0.7), 301);
    }

    /** A range of depth, all lines. */
    private record Band(double from, double to) {
        boolean holds(double depth) {
            return depth >= from && depth <= to;
        }

        double distance(double depth) {
            return Math.max(0, Math.max(from - depth, depth - to));
        }
    }

    private Band band() {
        double window = new Cells(subject.make().layout(), stated, 0).windowLength();
        double middle = (subject.geometry().firstDepth() + subject.geometry().lastDepth()) / 2;
        return new Band(middle - 1.25 * window, middle + 1.25 * window);
    }

    private Scene.Change inBand(Band band, Scene.Change change) {
        return (sample, line, n) ->
                band.holds(subject.geometry().depthOfSample(n))
                        ? change.apply(sample, line, n)
                        : sample;
    }

    void badSamples(Tally tally) {
        Band band = band();
        Scene.Change none = (sample, line, n) -> sample;
        Scene.Change nan = inBand(band, (sample, line, n) -> Float.NaN);
        Scene.Change infinite =
                inBand(
                        band,
                        (sample, line, n) ->
                                sample > 0 ? Float.POSITIVE_INFINITY : Float.NEGATIVE_INFINITY);
        unknownInside(tally, scene.changed(nan, none, "NaN in part of the first frame"), band);
        unknownInside(tally, scene.changed(none, nan, "NaN in part of the second frame"), band);
        unknownInside(tally, scene.changed(infinite, none, "infinite in part of the first"), band);
        unknownInside(tally, scene.changed(none, infinite, "infinite in part of the second"), band);
        allUnknown(
                tally,
                scene.changed(
                        (sample, line, n) -> Float.NaN, none, "nothing but NaN in the first"));
        oneBadSample(tally);
    }

    /** A single bad sample must not spoil the frame. */
    private void oneBadSample(Tally tally) {
        int badLine = subject.geometry().lines() / 2;
        int badSample = subject.geometry().samples() / 2;
        for (float bad : new float[] {Float.NaN, Float.NEGATIVE_INFINITY}) {
            Scene spoilt =
                    scene.changed(
                            (sample, line, n) -> line == badLine && n == badSample ? bad : sample,
                            (sample, line, n) -> sample,
                            "one sample of the first frame " + bad);
            double depth = subject.geometry().depthOfSample(badSample);
            judgeOutside(tally, spoilt, new Band(depth, depth));
        }
    }

    void silence(Tally tally) {
        Band band = band();
        Scene.Change none = (sample, line, n) -> sample;
        Scene.Change zero = (sample, line, n) -> 0;
        Scene.Change zeroInBand = inBand(band, zero);
        allUnknown(tally, scene.changed(zero, zero, "both frames silent"));
        allUnknown(tally, scene.changed(zero, none, "first frame silent"));
        allUnknown(tally, scene.changed(none, zero, "second frame silent"));
        unknownInside(tally, scene.changed(zeroInBand, zeroInBand, "part of both silent"), band);
        unknownInside(tally, scene.changed(none, zeroInBand, "part of the second silent"), band);
    }

    void saturation(Tally tally) {
        Band band = band();
        Scene quiet = scene.rounded();
        Scene.Change rail = inBand(band, (sample, line, n) -> 32767);
        unknownInside(
                tally, shorts(quiet.changed(rail, rail, "part at the upper rail, 16 bits")), band);
        Scene.Change clip =
                inBand(band, (sample, line, n) -> Math.max(-32768, Math.min(32767, 20 * sample)));
        ShortScene clipped = shorts(quiet.changed(clip, clip, "part clipped to 16 bits"));
        DisplacementField field = clipped.estimate(subject);
        // Clipped echoes keep their timing: whoever claims to know must be right.
        ErrorStatistics inside = new ErrorStatistics(subject.wavelength());
        Scene.Planes truth = scene.motion().at(field.layout().grid());
        forCells(
                field,
                (at, depth) -> {
                    if (band.holds(depth)) {
                        inside.add(field, truth, at);
                    }
                });
        tally.count(inside.cells());
        if (inside.known() > 0) {
            tally.atMost(
                    "share of places off by more than a quarter of the wavelength",
                    inside.grossShare(),
                    stated.grossShare(),
                    clipped.scene.condition());
            tally.atMost(
                    "errors over their predicted deviations",
                    inside.ratio(),
                    2 * stated.mostDeviationRatio(),
                    clipped.scene.condition());
        }
        judgeOutside(tally, clipped.scene, field, band);
    }

    /** A scene of whole numbers as 16-bit samples. */
    private record ShortScene(Scene scene) {
        DisplacementField estimate(DisplacementSubject subject) {
            return DisplacementSubject.estimate(
                    subject.make(),
                    RfFrame.of(scene.geometry(), toShorts(scene.reference())),
                    RfFrame.of(scene.geometry(), toShorts(scene.moved())),
                    scene.condition());
        }
    }

    private static ShortScene shorts(Scene scene) {
        return new ShortScene(scene);
    }

    static short[] toShorts(float[] samples) {
        short[] result = new short[samples.length];
        for (int i = 0; i < result.length; i++) {
            result[i] = (short) samples[i];
        }
        return result;
    }

    void independentNoise(Tally tally) {
        for (int i = 0; i < Math.max(2, Sizes.repeats() / 2); i++) {
            Scene noise = Scenes.noise(subject.geometry(), Double.POSITIVE_INFINITY, 0, 0, 401 + i);
            DisplacementField field = subject.estimate(noise);
            ErrorStatistics errors = new ErrorStatistics(subject.wavelength());
            Scene.Planes anything = noise.motion().at(field.layout().grid());
            forCells(field, (at, depth) -> errors.add(field, anything, at));
            claims(tally, errors, noise.condition());
        }
    }

    private void claims(Tally tally, ErrorStatistics errors, String condition) {
        tally.count(errors.cells());
        tally.atMost(
                "share of places called known where nothing can be known",
                errors.coverage(),
                stated.falseClaims(),
                condition);
    }

    void lostContact(Tally tally) {
        double strain = subject.strain(0.003);
        int third = subject.geometry().lines() / 3;
        int firstLost = subject.geometry().lines() - third;
        for (int frame = 0; frame < 2; frame++) {
            int lostFrame = frame;
            Scene lost =
                    Scenes.phantom(
                            subject.geometry(),
                            String.format(
                                    Locale.ROOT,
                                    "pressed by %.3g %%, air before lines from %d on in frame %d",
                                    100 * strain,
                                    firstLost,
                                    frame),
                            501,
                            builder ->
                                    builder.press(0, strain)
                                            .attenuation(0, 0)
                                            .lostContact(
                                                    new LostContact(
                                                            lostFrame,
                                                            lostFrame,
                                                            firstLost,
                                                            Integer.MAX_VALUE)));
            DisplacementField field = subject.estimate(lost);
            Scene.Planes truth = lost.motion().at(field.layout().grid());
            int rows = field.rows();
            int width = widthInLines();
            ErrorStatistics inAir = new ErrorStatistics(subject.wavelength());
            ErrorStatistics inContact = new ErrorStatistics(subject.wavelength());
            Cells cells = subject.cells(field, strain * subject.geometry().lastDepth());
            for (int line = 0; line < field.lines(); line++) {
                for (int row = cells.firstRow; row < cells.endRow; row++) {
                    int at = line * rows + row;
                    if (line >= firstLost + width) {
                        inAir.add(field, truth, at);
                    } else if (line >= cells.firstLine && line < firstLost - width) {
                        inContact.add(field, truth, at);
                    }
                }
            }
            claims(tally, inAir, lost.condition());
            judge(tally, inContact, lost.condition() + ", lines in contact");
        }
    }

    private int widthInLines() {
        return (int) Math.ceil(stated.windowWidth() / subject.geometry().lineSpacing(0));
    }

    void bone(Tally tally) {
        double middle = (subject.geometry().firstDepth() + subject.geometry().lastDepth()) / 2;
        double strain = subject.strain(0.003);
        Scene bony =
                Scenes.phantom(
                        subject.geometry(),
                        String.format(
                                Locale.ROOT,
                                "pressed by %.3g %%, bone at %.4g m",
                                100 * strain,
                                middle),
                        601,
                        builder ->
                                builder.press(0, strain)
                                        .attenuation(0, 0)
                                        .echoLevel(1000)
                                        .bone(Bone.flat(middle)));
        DisplacementField field = subject.estimate(bony);
        Scene.Planes truth = bony.motion().at(field.layout().grid());
        double window = subject.cells(field, 0).windowLength();
        ErrorStatistics behind = new ErrorStatistics(subject.wavelength());
        ErrorStatistics before = new ErrorStatistics(subject.wavelength());
        forCells(
                field,
                (at, depth) -> {
                    if (depth > middle + window) {
                        behind.add(field, truth, at);
                    } else if (depth < middle - window) {
                        before.add(field, truth, at);
                    }
                });
        claims(tally, behind, bony.condition() + ", behind the bone");
        judge(tally, before, bony.condition() + ", before the bone");
    }

    private void allUnknown(Tally tally, Scene silent) {
        DisplacementField field = subject.estimate(silent);
        int known = 0;
        for (int i = 0; i < field.axial().length; i++) {
            known += FieldRules.isKnown(field, i) ? 1 : 0;
        }
        tally.count(field.axial().length);
        tally.atMost("places called known", known, 0, silent.condition());
    }

    private void unknownInside(Tally tally, Scene spoilt, Band band) {
        unknownInside(tally, spoilt, subject.estimate(spoilt), band);
    }

    private void unknownInside(Tally tally, ShortScene spoilt, Band band) {
        unknownInside(tally, spoilt.scene, spoilt.estimate(subject), band);
    }

    /** Unknown in the middle, where the whole window lies inside; known well outside. */
    private void unknownInside(Tally tally, Scene spoilt, DisplacementField field, Band band) {
        double window = new Cells(field.layout(), stated, 0).windowLength();
        ErrorStatistics inside = new ErrorStatistics(subject.wavelength());
        Scene.Planes truth = spoilt.motion().at(field.layout().grid());
        forCells(
                field,
                (at, depth) -> {
                    if (depth > band.from + window && depth < band.to - window) {
                        inside.add(field, truth, at);
                    }
                });
        tally.count(inside.cells());
        tally.atLeast("places within the bad part", inside.cells(), 1, spoilt.condition());
        tally.atMost(
                "places called known within the bad part", inside.known(), 0, spoilt.condition());
        judgeOutside(tally, spoilt, field, band);
    }

    private void judgeOutside(Tally tally, Scene spoilt, Band band) {
        judgeOutside(tally, spoilt, subject.estimate(spoilt), band);
    }

    private void judgeOutside(Tally tally, Scene spoilt, DisplacementField field, Band band) {
        double window = new Cells(field.layout(), stated, 0).windowLength();
        ErrorStatistics outside = new ErrorStatistics(subject.wavelength());
        Scene.Planes truth = spoilt.motion().at(field.layout().grid());
        forCells(
                field,
                (at, depth) -> {
                    if (band.distance(depth) > 1.5 * window) {
                        outside.add(field, truth, at);
                    }
                });
        judge(tally, outside, spoilt.condition() + ", away from the bad part");
    }

    private void judge(Tally tally, ErrorStatistics errors, String condition) {
        tally.count(errors.known());
        tally.atLeast("share of known places", errors.coverage(), stated.coverage(), condition);
        tally.atMost(
                "error (m, root mean square)",
                errors.rms(),
                stated.strainError() * subject.wavelength(),
                condition);
        tally.atMost(
                "share of known places off by more than a quarter of the wavelength",
                errors.grossShare(),
                stated.grossShare(),
                condition);
    }

    /** What to do at a place. */
    @FunctionalInterface
    private interface AtPlace {
        void see(int at, double depth);
    }

    private void forCells(DisplacementField field, AtPlace what) {
        Cells cells = subject.cells(field, subject.sampleSpacing());
        RowGrid grid = field.layout().grid();
        for (int line = cells.firstLine; line < cells.endLine; line++) {
            for (int row = cells.firstRow; row < cells.endRow; row++) {
                what.see(line * cells.rows() + row, grid.depth(row));
            }
        }
    }

    void halfKnown(Tally tally) {
        Band band = band();
        Scene.Change none = (sample, line, n) -> sample;
        List<Scene> scenes =
                List.of(
                        scene,
                        Scenes.noise(subject.geometry(), 3, 1, 1e-5, 302),
                        Scenes.noise(subject.geometry(), Double.POSITIVE_INFINITY, 0, 0, 401),
                        Scenes.noise(subject.geometry(), Double.POSITIVE_INFINITY, 1, 0, 303),
                        scene.changed(
                                inBand(band, (sample, line, n) -> Float.NaN), none, "NaN in part"),
                        scene.changed(none, inBand(band, (sample, line, n) -> 0), "silent in part"),
                        scene.changed((sample, line, n) -> 0, (sample, line, n) -> 0, "silent"));
        wholly(tally, scenes);
    }

    /** Finite, but beyond what squares can hold. */
    void hugeSamples(Tally tally) {
        int middle = subject.geometry().samples() / 2;
        Scene.Change none = (sample, line, n) -> sample;
        Scene.Change huge = (sample, line, n) -> n == middle ? 3e38f : sample;
        Scene.Change one = (sample, line, n) -> n == middle && line == 1 ? -3e38f : sample;
        wholly(
                tally,
                List.of(
                        scene.changed(huge, none, "a sample of each line of the first 3e38"),
                        scene.changed(none, huge, "a sample of each line of the second 3e38"),
                        scene.changed(one, none, "a sample of line 1 of the first -3e38"),
                        scene.scaled(1e30f)));
    }

    private void wholly(Tally tally, List<Scene> scenes) {
        for (Scene s : scenes) {
            DisplacementField field = subject.estimate(s);
            String wrong = FieldRules.firstHalfKnown(field);
            tally.count(field.axial().length);
            tally.expect(
                    wrong == null, String.valueOf(wrong), FieldRules.WHOLLY_KNOWN, s.condition());
        }
    }
}
