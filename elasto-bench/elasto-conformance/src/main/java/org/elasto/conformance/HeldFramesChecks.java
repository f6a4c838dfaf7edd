package org.elasto.conformance;

import org.elasto.api.DisplacementField;
import org.elasto.api.FieldLayout;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.FrameHoldingEstimator;
import org.junit.jupiter.api.Assumptions;

/** Held frames give what the frames themselves give, whatever happens in between. */
final class HeldFramesChecks {

    private final DisplacementSubject subject;
    private final Scene one;
    private final Scene two;

    HeldFramesChecks(DisplacementSubject subject) {
        this.subject = subject;
        one = Scenes.noise(subject.geometry(), 20, 1, subject.shift(1.4), 701);
        two = Scenes.noise(subject.geometry(), 20, 1, subject.shift(-4.1), 702);
    }

    private FrameHoldingEstimator make(Workers workers) {
        DisplacementEstimator estimator = subject.make(subject.geometry(), workers);
        Assumptions.assumeTrue(
                estimator instanceof FrameHoldingEstimator, "this estimator holds no frames");
        return (FrameHoldingEstimator) estimator;
    }

    private static void same(
            Tally tally, DisplacementField expected, DisplacementField seen, String condition) {
        String difference = Bits.difference(expected, seen);
        tally.count(expected.axial().length);
        tally.expect(difference == null, String.valueOf(difference), "the same bits", condition);
    }

    private DisplacementField expected(RfFrame reference, RfFrame moved) {
        return DisplacementSubject.estimate(subject.make(), reference, moved, one.condition());
    }

    /** The field from two held frames is what is expected; an exception is not. */
    private static void same(
            Tally tally,
            DisplacementField expected,
            FrameHoldingEstimator estimator,
            int from,
            int to,
            String condition) {
        DisplacementField field = estimator.newField();
        try {
            estimator.estimateHeld(from, to, field);
        } catch (RuntimeException e) {
            tally.expect(false, e.toString(), "the same bits", condition);
            return;
        }
        same(tally, expected, field, condition);
    }

    void heldFrames(Tally tally) {
        for (int count = 1; count <= 2; count++) {
            try (Workers workers = Workers.threads(count)) {
                pairs(tally, make(workers), count + " workers");
            }
        }
        refusals(tally, make(Workers.sequential()));
        allocation(tally, make(Workers.sequential()));
    }

    private void pairs(Tally tally, FrameHoldingEstimator estimator, String how) {
        RfFrame a = one.referenceFrame();
        RfFrame b = one.movedFrame();
        RfFrame c = two.referenceFrame();
        RfFrame d = two.movedFrame();
        DisplacementField forward = expected(a, b);
        DisplacementField other = expected(c, d);
        estimator.reserve(4);
        estimator.hold(0, a);
        estimator.hold(1, b);
        same(tally, forward, estimator, 0, 1, how + ", held frames");
        same(tally, expected(b, a), estimator, 1, 0, how + ", held frames, backwards");
        same(tally, expected(b, b), estimator, 1, 1, how + ", the same held frame twice");
        estimator.hold(3, c);
        estimator.hold(2, d);
        same(tally, forward, estimator, 0, 1, how + ", after other frames were held");
        same(tally, other, estimator, 3, 2, how + ", other frames held");
        same(
                tally,
                other,
                DisplacementSubject.estimate(estimator, c, d, two.condition()),
                how + ", frames that are not held");
        same(tally, forward, estimator, 0, 1, how + ", after frames that are not held");
        estimator.hold(0, c);
        estimator.hold(1, d);
        same(tally, other, estimator, 0, 1, how + ", slots filled again");
        refilled(tally, estimator, forward, how);
    }

    /** What the owner does with a frame's memory after it was held is of no account. */
    private void refilled(
            Tally tally, FrameHoldingEstimator estimator, DisplacementField forward, String how) {
        RfFrame frame = one.referenceFrame();
        RfFrame before = one.referenceFrame();
        estimator.hold(0, frame);
        float[] line = new float[frame.geometry().samples()];
        for (int i = 0; i < frame.geometry().lines(); i++) {
            two.movedFrame().readLine(i, line, 0);
            frame.writeLine(i, line, 0);
        }
        String condition = how + ", frame refilled after it was held";
        estimator.hold(1, one.movedFrame());
        same(tally, forward, estimator, 0, 1, condition);
        estimator.hold(0, before);
        float[] after = new float[line.length];
        for (int i = 0; i < frame.geometry().lines(); i++) {
            one.referenceFrame().readLine(i, line, 0);
            before.readLine(i, after, 0);
            String difference = Bits.difference("sample", line, after, Integer.MAX_VALUE);
            tally.count(line.length);
            tally.expect(
                    difference == null,
                    "frame changed: " + difference,
                    "the frame as it was",
                    how + ", frame held");
        }
    }

    private void refusals(Tally tally, FrameHoldingEstimator estimator) {
        DisplacementField out = estimator.newField();
        RfFrame right = one.referenceFrame();
        Refusals.expect(tally, "slots never reserved", () -> estimator.hold(0, right), 0);
        Refusals.expect(tally, "fewer than no slots", () -> estimator.reserve(-1), -1);
        estimator.reserve(3);
        Refusals.expect(tally, "slot beyond the last", () -> estimator.hold(3, right), 3);
        Refusals.expect(tally, "slot before the first", () -> estimator.hold(-1, right), -1);
        estimator.hold(0, right);
        Refusals.expect(tally, "empty slot", () -> estimator.estimateHeld(0, 2, out), 2);
        Refusals.expect(tally, "empty first slot", () -> estimator.estimateHeld(1, 0, out), 1);
        Refusals.expect(tally, "no such slot", () -> estimator.estimateHeld(0, 7, out), 7);
        ScanGeometry g = subject.geometry();
        ScanGeometry wider =
                new ScanGeometry(
                        g.lines() + 1,
                        g.samples(),
                        g.samplingFrequency(),
                        g.centreFrequency(),
                        g.soundSpeed(),
                        g.firstDepth(),
                        g.layout(),
                        g.frameRate());
        RfFrame wrong = RfFrame.of(wider, new float[wider.lines() * wider.samples()]);
        Refusals.expect(
                tally,
                "frame of another geometry",
                () -> estimator.hold(0, wrong),
                g.lines() + 1,
                g.lines());
        FieldLayout layout = estimator.layout();
        RowGrid grid = layout.grid();
        FieldLayout moreRows =
                new FieldLayout(
                        g,
                        new RowGrid(grid.rows() + 1, grid.firstDepth(), grid.spacing()),
                        layout.lateral(),
                        layout.axialErrors());
        Refusals.expect(
                tally,
                "field with a row too many",
                () -> estimator.estimateHeld(0, 0, new DisplacementField(moreRows)),
                grid.rows() + 1,
                grid.rows());
        same(
                tally,
                expected(right, right),
                estimator,
                0,
                0,
                "a held frame, after calls that were refused");
        estimator.reserve(3);
        Refusals.expect(tally, "slots reserved again", () -> estimator.estimateHeld(0, 0, out), 0);
    }

    private void allocation(Tally tally, FrameHoldingEstimator estimator) {
        DisplacementField out = estimator.newField();
        RfFrame[] frames = {one.referenceFrame(), one.movedFrame(), two.movedFrame()};
        estimator.reserve(2);
        estimator.hold(0, frames[0]);
        double bytes =
                Allocation.bytesPerCall(
                        () -> {
                            estimator.hold(1, frames[1]);
                            estimator.estimateHeld(0, 1, out);
                            estimator.hold(1, frames[2]);
                            estimator.estimateHeld(0, 1, out);
                        });
        tally.count(out.axial().length);
        tally.atMost("bytes allocated by two frames once warm", bytes, 0, one.condition());
    }
}
