package org.elasto.conformance;

import java.util.Arrays;
import org.elasto.api.DisplacementField;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.plugin.DisplacementEstimator;

/** What changes the frames but not the motion, or the motion in a known way. */
final class DisplacementInvarianceChecks {

    private final DisplacementSubject subject;
    private final Scene scene;

    DisplacementInvarianceChecks(DisplacementSubject subject) {
        this.subject = subject;
        scene = Scenes.noise(subject.geometry(), 20, 1, subject.shift(2.3), 201);
    }

    /** Where a place of the first field is in the second, -1 where nowhere. */
    @FunctionalInterface
    private interface Counterpart {
        int of(int line, int row);
    }

    /** Differences of fields that should be the same, or each other's negative. */
    private final class Comparison {
        private long cells;
        private long known;
        private long knownInOne;
        private double squares;
        private double lateralSquares;
        private double deviationSquares;
        private double lateralDeviationSquares;

        void add(
                DisplacementField a,
                DisplacementField b,
                Counterpart counterpart,
                double sign,
                double lateralSign) {
            Cells where = subject.cells(a, 6 * subject.sampleSpacing());
            for (int line = where.firstLine; line < where.endLine; line++) {
                for (int row = where.firstRow; row < where.endRow; row++) {
                    int i = line * where.rows() + row;
                    int j = counterpart.of(line, row);
                    if (j < 0) {
                        continue;
                    }
                    cells++;
                    if (FieldRules.isKnown(a, i) != FieldRules.isKnown(b, j)) {
                        knownInOne++;
                    } else if (FieldRules.isKnown(a, i)) {
                        known++;
                        squares += square(a.axial()[i] - sign * b.axial()[j]);
                        // A missing deviation is another check's affair.
                        double deviation = a.axialDeviation()[i];
                        deviationSquares += deviation > 0 ? square(deviation) : 0;
                        if (a.lateral() != null
                                && Float.isFinite(a.lateral()[i])
                                && Float.isFinite(b.lateral()[j])) {
                            lateralSquares += square(a.lateral()[i] - lateralSign * b.lateral()[j]);
                            lateralDeviationSquares += square(a.lateralDeviation()[i]);
                        }
                    }
                }
            }
        }

        /** The difference may be a share of the predicted deviation, and rounding. */
        void judge(Tally tally, double share, String condition) {
            tally.count(known);
            double deviation = Math.sqrt(deviationSquares / known);
            tally.atMost(
                    "difference of axial displacements (m, root mean square)",
                    Math.sqrt(squares / known),
                    share * deviation + 1e-6 * subject.wavelength(),
                    condition);
            if (lateralDeviationSquares > 0) {
                tally.atMost(
                        "difference of lateral displacements (m, root mean square)",
                        Math.sqrt(lateralSquares / known),
                        share * Math.sqrt(lateralDeviationSquares / known)
                                + 1e-4 * subject.geometry().lineSpacing(0),
                        condition);
            }
            tally.atMost(
                    "share of places known in one of the two fields only",
                    (double) knownInOne / cells,
                    0.02,
                    condition);
        }
    }

    private static double square(double value) {
        return value * value;
    }

    private Counterpart same(DisplacementField field) {
        return (line, row) -> line * field.rows() + row;
    }

    void depth(Tally tally) {
        ScanGeometry g = subject.geometry();
        RowGrid grid = subject.make().layout().grid();
        int rows = wholeRows(grid);
        int cut = (int) Math.round(rows * grid.spacing() / g.sampleSpacing());
        ScanGeometry longer =
                new ScanGeometry(
                        g.lines(),
                        g.samples() + cut,
                        g.samplingFrequency(),
                        g.centreFrequency(),
                        g.soundSpeed(),
                        g.firstDepth(),
                        g.layout(),
                        g.frameRate());
        Scene whole = Scenes.noise(longer, 20, 1, subject.shift(2.3), 202);
        Scene early = cut(whole, 0);
        Scene late = cut(whole, cut);
        DisplacementEstimator estimator = subject.make();
        DisplacementField a = DisplacementSubject.estimate(estimator, early);
        DisplacementField b = DisplacementSubject.estimate(estimator, late);
        Cells cells = subject.cells(a, 6 * subject.sampleSpacing());
        Comparison comparison = new Comparison();
        comparison.add(
                a,
                b,
                (line, row) -> row - rows < cells.firstRow ? -1 : line * cells.rows() + row - rows,
                1,
                1);
        comparison.judge(tally, 0.5, late.condition());
    }

    /** The fewest rows, from a few on, that are a whole number of samples. */
    private int wholeRows(RowGrid grid) {
        double samplesPerRow = grid.spacing() / subject.sampleSpacing();
        int fewest = Math.max(1, (int) Math.ceil(100 / samplesPerRow));
        for (int rows = fewest; rows < fewest + 400; rows++) {
            if (Math.abs(rows * samplesPerRow - Math.rint(rows * samplesPerRow)) < 1e-6) {
                return rows;
            }
        }
        // Rows that never meet a sample: a few thousandths of one are less than any deviation.
        int best = fewest;
        for (int rows = fewest; rows < fewest + 400; rows++) {
            if (offSample(rows * samplesPerRow) < offSample(best * samplesPerRow)) {
                best = rows;
            }
        }
        return best;
    }

    private static double offSample(double samples) {
        return Math.abs(samples - Math.rint(samples));
    }

    private Scene cut(Scene whole, int first) {
        int from = whole.geometry().samples();
        int to = subject.geometry().samples();
        float[] reference = new float[subject.geometry().lines() * to];
        float[] moved = new float[reference.length];
        for (int line = 0; line < subject.geometry().lines(); line++) {
            System.arraycopy(whole.reference(), line * from + first, reference, line * to, to);
            System.arraycopy(whole.moved(), line * from + first, moved, line * to, to);
        }
        return new Scene(
                subject.geometry(),
                reference,
                moved,
                whole.motion(),
                whole.echoLevel(),
                whole.condition() + ", both frames moved up by " + first + " samples");
    }

    void mirror(Tally tally) {
        DisplacementField a = subject.estimate(scene);
        Scene mirrored = scene.mirrored();
        DisplacementField b = subject.estimate(mirrored);
        int last = subject.geometry().lines() - 1;
        Comparison comparison = new Comparison();
        comparison.add(a, b, (line, row) -> (last - line) * a.rows() + row, 1, -1);
        comparison.judge(tally, 0.5, mirrored.condition());
    }

    void gain(Tally tally) {
        DisplacementField a = subject.estimate(scene);
        for (float gain : new float[] {1000, 0.001f}) {
            Scene scaled = scene.scaled(gain);
            DisplacementField b = subject.estimate(scaled);
            Comparison comparison = new Comparison();
            comparison.add(a, b, same(a), 1, 1);
            comparison.judge(tally, 0.02, scaled.condition());
        }
    }

    void sign(Tally tally) {
        Scene flipped = scene.scaled(-1);
        DisplacementField a = subject.estimate(scene);
        Comparison comparison = new Comparison();
        comparison.add(a, subject.estimate(flipped), same(a), 1, 1);
        comparison.judge(tally, 0.02, flipped.condition());
    }

    void swap(Tally tally) {
        DisplacementEstimator estimator = subject.make();
        Scene swapped = scene.swapped();
        DisplacementField a = DisplacementSubject.estimate(estimator, scene);
        DisplacementField b = DisplacementSubject.estimate(estimator, swapped);
        Comparison comparison = new Comparison();
        comparison.add(a, b, same(a), -1, -1);
        comparison.judge(tally, 1.5, swapped.condition());
        double[] known = new double[a.axial().length];
        int count = 0;
        for (int i = 0; i < known.length; i++) {
            if (FieldRules.isKnown(b, i)) {
                known[count++] = b.axial()[i];
            }
        }
        Arrays.sort(known, 0, count);
        double shift = subject.shift(2.3);
        tally.between(
                "median axial displacement (m)",
                count == 0 ? Double.NaN : known[count / 2],
                -1.1 * shift,
                -0.9 * shift,
                swapped.condition());
    }
}
