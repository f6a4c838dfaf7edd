package org.elasto.compare;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.signal.BasebandConverter;

/**
 * Measures displacement and strain of frame pairs against the true motion.
 *
 * <p>True strain is what the same strain estimator makes of the true displacement, so that errors
 * are those of tracking and not of the depth over which strain is taken. An inclusion is measured
 * inside three quarters of its radius, against the tissue beside it: the same depths, 1.5 to 3
 * radii from its middle, away from other inclusions.
 */
final class Comparison {

    private static final double INSIDE = 0.75;
    private static final double NEAR = 1.5;
    private static final double FAR = 3;

    /**
     * What was measured of an inclusion.
     *
     * @param ratio strain inside over strain beside it
     * @param trueRatio the same of the true motion
     * @param share strain inside over that far away, where the latter is known
     * @param closedForm the same by the closed form, for the inclusion alone
     * @param contrastToNoise sqrt(2 (m1 - m2)^2 / (s1^2 + s2^2)) of means and deviations of strain
     *     inside and beside (Varghese and Ophir, Ultrasound Med Biol 24:915-924, 1998)
     * @param echoContrastToNoise the same of the echo's envelope
     */
    record InclusionResult(
            double ratio,
            double trueRatio,
            double share,
            double closedForm,
            double contrastToNoise,
            double echoContrastToNoise) {}

    /**
     * What was measured of a pair.
     *
     * @param first number of the first frame
     * @param second number of the second
     * @param displacementError root mean square error of displacement where strain is trusted (m)
     * @param strainError root mean square error of strain there
     * @param trueStrain mean true strain there
     * @param trustedShare share of the cells with a truth whose strain is trusted
     * @param inclusions one for each inclusion
     */
    record PairResult(
            long first,
            long second,
            double displacementError,
            double strainError,
            double trueStrain,
            double trustedShare,
            List<InclusionResult> inclusions) {}

    private final TrueMotion truth;
    private final StrainEstimator strainEstimator;
    private final DisplacementField trueField;
    private final StrainImage trueStrain;
    private final List<PairResult> results = new ArrayList<>();

    Comparison(TrueMotion truth, StrainEstimator strainEstimator, DisplacementField trueField) {
        this.truth = truth;
        this.strainEstimator = strainEstimator;
        this.trueField = trueField;
        this.trueStrain = strainEstimator.newImage();
    }

    List<PairResult> results() {
        return results;
    }

    /** The true displacement of the pair that was measured last. */
    DisplacementField trueField() {
        return trueField;
    }

    /** The true strain of the pair that was measured last. */
    StrainImage trueStrain() {
        return trueStrain;
    }

    /** Makes a field of a true displacement, known where that is. */
    static void fill(DisplacementField field, double[] axial) {
        field.clear();
        for (int i = 0; i < axial.length; i++) {
            if (!Double.isNaN(axial[i])) {
                field.axial()[i] = (float) axial[i];
                field.correlation()[i] = 1f;
                field.axialDeviation()[i] = 1e-9f;
            }
        }
    }

    /** Measures one pair. */
    PairResult measure(
            int first, int second, RfFrame reference, DisplacementField field, StrainImage strain)
            throws IOException {
        double[] u = truth.axial(first, second, field.layout().grid());
        fill(trueField, u);
        strainEstimator.estimate(trueField, trueStrain);

        Sums displacement = new Sums();
        Sums strainErrors = new Sums();
        Sums strains = new Sums();
        int trusted = 0;
        int known = 0;
        RowGrid strainGrid = strain.layout().grid();
        RowGrid fieldGrid = field.layout().grid();
        for (int line = 0; line < strain.lines(); line++) {
            for (int row = 0; row < strainGrid.rows(); row++) {
                int at = line * strainGrid.rows() + row;
                if (Float.isNaN(trueStrain.axial()[at])) {
                    continue;
                }
                known++;
                if (!strain.trusted()[at]) {
                    continue;
                }
                trusted++;
                strainErrors.add(strain.axial()[at] - (double) trueStrain.axial()[at]);
                strains.add(trueStrain.axial()[at]);
                int fieldRow = (int) Math.rint(fieldGrid.rowAt(strainGrid.depth(row)));
                if (fieldRow >= 0 && fieldRow < fieldGrid.rows()) {
                    int fieldAt = line * fieldGrid.rows() + fieldRow;
                    displacement.add(field.axial()[fieldAt] - u[fieldAt]);
                }
            }
        }
        List<InclusionResult> inclusions = new ArrayList<>();
        for (TrueMotion.Round inclusion : truth.inclusions()) {
            inclusions.add(measure(inclusion, truth.applied(first, second), reference, strain));
        }
        PairResult result =
                new PairResult(
                        first,
                        second,
                        displacement.rootMeanSquare(),
                        strainErrors.rootMeanSquare(),
                        strains.mean(),
                        known == 0 ? Double.NaN : (double) trusted / known,
                        inclusions);
        results.add(result);
        return result;
    }

    private InclusionResult measure(
            TrueMotion.Round inclusion, double applied, RfFrame reference, StrainImage strain) {
        Sums inside = new Sums();
        Sums beside = new Sums();
        Sums trueInside = new Sums();
        Sums trueBeside = new Sums();
        RowGrid grid = strain.layout().grid();
        ScanGeometry geometry = strain.layout().geometry();
        for (int line = 0; line < strain.lines(); line++) {
            for (int row = 0; row < grid.rows(); row++) {
                int at = line * grid.rows() + row;
                int where = place(inclusion, geometry, line, grid.depth(row));
                if (where == 0 || Float.isNaN(trueStrain.axial()[at]) || !strain.trusted()[at]) {
                    continue;
                }
                (where > 0 ? inside : beside).add(strain.axial()[at]);
                (where > 0 ? trueInside : trueBeside).add(trueStrain.axial()[at]);
            }
        }
        return new InclusionResult(
                inside.mean() / beside.mean(),
                trueInside.mean() / trueBeside.mean(),
                inside.mean() / applied,
                inclusion.insideShare(),
                contrastToNoise(inside, beside),
                echoContrastToNoise(inclusion, reference));
    }

    private double echoContrastToNoise(TrueMotion.Round inclusion, RfFrame frame) {
        ScanGeometry geometry = frame.geometry();
        double band =
                Math.min(0.8 * geometry.centreFrequency(), BasebandConverter.widestBand(geometry));
        BasebandConverter converter =
                new BasebandConverter(
                        geometry, band, BasebandConverter.decimationFor(geometry, band));
        float[] re = new float[converter.length()];
        float[] im = new float[converter.length()];
        Sums inside = new Sums();
        Sums beside = new Sums();
        for (int line = 0; line < geometry.lines(); line++) {
            converter.convert(frame, line, re, im, 0, null, 0);
            for (int n = 0; n < re.length; n++) {
                double depth = geometry.firstDepth() + n * converter.sampleSpacing();
                int where = place(inclusion, geometry, line, depth);
                if (where != 0) {
                    (where > 0 ? inside : beside).add(Math.hypot(re[n], im[n]));
                }
            }
        }
        return contrastToNoise(inside, beside);
    }

    /** 1 inside the inclusion, -1 beside it, 0 elsewhere. */
    private int place(TrueMotion.Round inclusion, ScanGeometry geometry, int line, double depth) {
        double x = geometry.x(line, depth) - inclusion.x();
        double z = geometry.z(line, depth) - inclusion.z();
        double r = inclusion.radius();
        if (Math.hypot(x, z) <= INSIDE * r) {
            return 1;
        }
        if (Math.abs(z) > INSIDE * r || Math.abs(x) < NEAR * r || Math.abs(x) > FAR * r) {
            return 0;
        }
        for (TrueMotion.Round other : truth.inclusions()) {
            double distance =
                    Math.hypot(
                            geometry.x(line, depth) - other.x(),
                            geometry.z(line, depth) - other.z());
            if (distance < NEAR * other.radius()) {
                return 0;
            }
        }
        return -1;
    }

    private static double contrastToNoise(Sums one, Sums two) {
        double difference = one.mean() - two.mean();
        return Math.sqrt(2 * difference * difference / (one.variance() + two.variance()));
    }

    /** The table of what was measured, one line a pair. */
    String table() {
        StringBuilder text = new StringBuilder();
        text.append(
                "pair      displacement  strain    mean true  trusted\n"
                        + "          error         error     strain     area\n");
        for (PairResult pair : results) {
            text.append(
                    String.format(
                            Locale.ROOT,
                            "%-9s %9s um  %7s %%  %7s %%  %5s %%%n",
                            pair.first() + " > " + pair.second(),
                            Texts.number("%.2f", pair.displacementError() * 1e6),
                            Texts.number("%.4f", pair.strainError() * 100),
                            Texts.number("%+.3f", pair.trueStrain() * 100),
                            Texts.number("%.1f", pair.trustedShare() * 100)));
        }
        List<TrueMotion.Round> rounds = truth.inclusions();
        for (int i = 0; i < rounds.size(); i++) {
            TrueMotion.Round round = rounds.get(i);
            text.append(
                    String.format(
                            Locale.ROOT,
                            "%ninclusion %.1f mm wide at x %+.1f mm, depth %.1f mm%n",
                            round.radius() * 2e3,
                            round.x() * 1e3,
                            round.z() * 1e3));
            text.append(
                    "pair      inside / beside    inside / far away       contrast-to-noise\n"
                        + "          measured  true     measured  by theory*    strain    echo\n");
            for (PairResult pair : results) {
                InclusionResult r = pair.inclusions().get(i);
                text.append(
                        String.format(
                                Locale.ROOT,
                                "%-9s %8s  %5s  %8s    %7s     %8s  %6s%n",
                                pair.first() + " > " + pair.second(),
                                Texts.number("%.3f", r.ratio()),
                                Texts.number("%.3f", r.trueRatio()),
                                Texts.number("%.3f", r.share()),
                                Texts.number("%.3f", r.closedForm()),
                                Texts.number("%.1f", r.contrastToNoise()),
                                Texts.number("%.2f", r.echoContrastToNoise())));
            }
        }
        if (!rounds.isEmpty()) {
            text.append(
                    "\n"
                        + "* for the inclusion alone: 2 / (1 + k) of the strain far away in a"
                        + " cylinder k times\n"
                        + "  stiffer, 5 / (3 + 2 k) in a sphere (Eshelby 1957, Goodier 1933); true"
                        + " and measured\n"
                        + "  values feel the neighbours\n");
        }
        return text.toString();
    }

    /** Sums of a sample. */
    private static final class Sums {
        private double sum;
        private double squares;
        private long count;

        void add(double value) {
            if (!Double.isNaN(value)) {
                sum += value;
                squares += value * value;
                count++;
            }
        }

        double mean() {
            return sum / count;
        }

        double variance() {
            return squares / count - mean() * mean();
        }

        double rootMeanSquare() {
            return Math.sqrt(squares / count);
        }
    }
}
