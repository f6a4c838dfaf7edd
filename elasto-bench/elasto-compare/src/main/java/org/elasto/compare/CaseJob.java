package org.elasto.compare;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.DoubleConsumer;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.RowGrid;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;
import org.elasto.api.plugin.QualityMetric;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.elasto.recordings.ResultsHeader;
import org.elasto.recordings.ResultsWriter;

/** Does one case: every pair of neighbouring frames, tracked, differentiated, judged, measured. */
final class CaseJob {

    private final ComparisonCase work;
    private final KeptFrames frames;
    private final int shown;
    private final DisplacementEstimator estimator;
    private final StrainEstimator strainEstimator;
    private final Map<String, QualityMetric> metrics = new LinkedHashMap<>();
    private final Map<String, String> about = new LinkedHashMap<>();
    private final Map<String, String> estimatorParameters;
    private final Map<String, String> strainParameters;
    private final Comparison comparison;
    private final CalibrationBins displacementBins = new CalibrationBins();
    private final CalibrationBins strainBins = new CalibrationBins();
    private final DisplacementField shownField;
    private final StrainImage shownStrain;
    private final DisplacementField shownTruth;
    private final StrainImage shownTrueStrain;

    CaseJob(
            ComparisonCase work,
            KeptFrames frames,
            int shown,
            List<Setting> qualities,
            Workers workers) {
        this.work = work;
        this.frames = frames;
        this.shown = shown;
        DisplacementEstimatorProvider<?> provider =
                Catalogue.displacementEstimators().get(work.estimator().name());
        StrainEstimatorProvider<?> strainProvider =
                Catalogue.strainEstimators().get(work.strain().name());
        ScanGeometry geometry = frames.source().geometry();
        estimator = Catalogue.create(provider, work.estimator().text(), geometry, workers);
        strainEstimator =
                Catalogue.create(strainProvider, work.strain().text(), estimator.layout(), workers);
        for (Setting quality : qualities) {
            metrics.put(
                    quality.label(),
                    Catalogue.create(
                            Catalogue.qualityMetrics().get(quality.name()),
                            quality.text(),
                            estimator.layout(),
                            strainEstimator.layout(),
                            workers));
        }
        estimatorParameters = Setting.all(provider, work.estimator().text());
        strainParameters = Setting.all(strainProvider, work.strain().text());
        about.put("source", frames.source().name());
        about.put("frames", "" + frames.source().frameCount());
        about.put("scan", Texts.describe(geometry));
        about.put("displacement estimator", work.estimator().name() + " " + estimatorParameters);
        about.put("strain estimator", work.strain().name() + " " + strainParameters);
        about.put("version", Main.Version.text());
        frames.source().damage().ifPresent(damage -> about.put("damage", damage));
        TrueMotion motion = frames.motion();
        comparison =
                motion == null
                        ? null
                        : new Comparison(motion, strainEstimator, estimator.newField());
        shownField = estimator.newField();
        shownStrain = strainEstimator.newImage();
        shownTruth = estimator.newField();
        shownTrueStrain = strainEstimator.newImage();
    }

    /** Measures all pairs; tells the share that is done after each. */
    CaseMeasures run(DoubleConsumer progress) throws IOException {
        List<CaseMeasures.Pair> pairs = new ArrayList<>();
        int count = frames.source().frameCount();
        DisplacementField field = estimator.newField();
        StrainImage strain = strainEstimator.newImage();
        for (int k = 1; k < count; k++) {
            Interruption.check();
            RfFrame first = frames.frame(k - 1);
            RfFrame second = frames.frame(k);
            long start = System.nanoTime();
            estimator.estimate(first, second, field);
            strainEstimator.estimate(field, strain);
            double milliseconds = (System.nanoTime() - start) / 1e6;
            pairs.add(measure(k - 1, first, second, field, strain, milliseconds));
            if (k - 1 == shown) {
                copy(field, strain, shownField, shownStrain);
                if (comparison != null) {
                    copy(
                            comparison.trueField(),
                            comparison.trueStrain(),
                            shownTruth,
                            shownTrueStrain);
                }
            }
            progress.accept((double) k / (count - 1));
        }
        TrueMotion motion = frames.motion();
        ScanGeometry geometry = frames.source().geometry();
        return new CaseMeasures(
                about,
                motion == null ? Double.NaN : motion.signalToNoise(geometry.lastDepth() / 2),
                pairs,
                motion == null ? List.of() : motion.inclusions(),
                displacementBins.bins(),
                strainBins.bins());
    }

    private CaseMeasures.Pair measure(
            int k,
            RfFrame first,
            RfFrame second,
            DisplacementField field,
            StrainImage strain,
            double milliseconds)
            throws IOException {
        Map<Measure, Double> values = new EnumMap<>(Measure.class);
        values.put(Measure.MILLISECONDS, milliseconds);
        values.put(Measure.TRUSTED_SHARE, Texts.share(strain.trusted()));
        addOwn(values, field);
        if (comparison != null) {
            Comparison.PairResult result = comparison.measure(k, k + 1, first, field, strain);
            addTrue(values, result);
            addTally(values, k, field);
            for (int i = 0; i < strain.axial().length; i++) {
                if (strain.trusted()[i]) {
                    float error = strain.axial()[i] - comparison.trueStrain().axial()[i];
                    strainBins.add(strain.axialDeviation()[i], error);
                }
            }
        }
        Map<String, Double> qualities = new TreeMap<>();
        metrics.forEach(
                (name, metric) ->
                        qualities.put(name, metric.score(first, second, field, strain, null)));
        return new CaseMeasures.Pair(k, k + 1, values, qualities);
    }

    /** What the field says of itself. */
    private static void addOwn(Map<Measure, Double> values, DisplacementField field) {
        double variance = 0;
        int known = 0;
        for (int i = 0; i < field.axial().length; i++) {
            if (field.correlation()[i] > 0 && !Float.isNaN(field.axialDeviation()[i])) {
                variance += (double) field.axialDeviation()[i] * field.axialDeviation()[i];
                known++;
            }
        }
        values.put(Measure.PREDICTED_ERROR, Math.sqrt(variance / known));
    }

    private static void addTrue(Map<Measure, Double> values, Comparison.PairResult result) {
        values.put(Measure.DISPLACEMENT_ERROR, result.displacementError());
        values.put(Measure.STRAIN_ERROR, result.strainError());
        values.put(Measure.TRUE_STRAIN, result.trueStrain());
        values.put(Measure.TRUSTED_SHARE, result.trustedShare());
        List<Comparison.InclusionResult> inclusions = result.inclusions();
        values.put(
                Measure.CONTRAST_TO_NOISE,
                Measure.CONTRAST_TO_NOISE.over(
                        inclusions.stream()
                                .mapToDouble(Comparison.InclusionResult::contrastToNoise)));
        values.put(
                Measure.RATIO_ERROR,
                Measure.RATIO_ERROR.over(
                        inclusions.stream().mapToDouble(i -> i.ratio() / i.trueRatio() - 1)));
    }

    /** Errors of displacement, half a window away from the ends of the lines. */
    private void addTally(Map<Measure, Double> values, int k, DisplacementField field)
            throws IOException {
        RowGrid grid = field.layout().grid();
        ScanGeometry geometry = field.layout().geometry();
        double half = field.layout().axialErrors().length() / 2;
        double quarter = geometry.wavelength() / 4;
        double[] expected = frames.motion().axial(k, k + 1, grid);
        double[] bound = DisplacementTally.bounds(frames.motion(), k, k + 1, field.layout());
        DisplacementTally tally = new DisplacementTally();
        for (int line = 0; line < field.lines(); line++) {
            for (int row = 0; row < grid.rows(); row++) {
                double depth = grid.depth(row);
                if (depth < geometry.firstDepth() + half || depth > geometry.lastDepth() - half) {
                    continue;
                }
                int at = line * grid.rows() + row;
                if (tally.add(field, at, expected[at], bound[row], quarter)) {
                    displacementBins.add(
                            field.axialDeviation()[at], field.axial()[at] - expected[at]);
                }
            }
        }
        values.put(Measure.BOUND, tally.bound());
        values.put(Measure.GROSS_SHARE, tally.grossShare());
        values.put(Measure.KNOWN_SHARE, tally.knownShare());
        values.put(Measure.ERROR_OVER_PREDICTED, tally.calibration());
    }

    private static void copy(
            DisplacementField field,
            StrainImage strain,
            DisplacementField toField,
            StrainImage toStrain) {
        copy(field.axial(), toField.axial());
        copy(field.axialDeviation(), toField.axialDeviation());
        copy(field.correlation(), toField.correlation());
        if (field.lateral() != null) {
            copy(field.lateral(), toField.lateral());
        }
        copy(strain.axial(), toStrain.axial());
        copy(strain.axialDeviation(), toStrain.axialDeviation());
        System.arraycopy(strain.trusted(), 0, toStrain.trusted(), 0, strain.trusted().length);
    }

    private static void copy(float[] from, float[] to) {
        System.arraycopy(from, 0, to, 0, from.length);
    }

    /** Writes the shown pair, and its truth where it is known. */
    void write(Path folder, CaseMeasures measures) throws IOException {
        write(
                folder.resolve(CaseOutcome.RESULTS),
                work.estimator().name(),
                estimatorParameters,
                shownField,
                shownStrain);
        if (comparison != null) {
            write(
                    folder.resolve(CaseOutcome.TRUTH),
                    "true motion",
                    Map.of(),
                    shownTruth,
                    shownTrueStrain);
        }
        WholeFile.write(folder.resolve(CaseOutcome.MEASURED), measures.toText());
    }

    private void write(
            Path file,
            String name,
            Map<String, String> parameters,
            DisplacementField field,
            StrainImage strain)
            throws IOException {
        ResultsHeader header =
                new ResultsHeader(
                        Main.Version.text(),
                        frames.source().name(),
                        estimator.layout(),
                        strainEstimator.layout(),
                        name,
                        parameters,
                        work.strain().name(),
                        strainParameters);
        try (ResultsWriter writer = new ResultsWriter(file, header)) {
            try {
                writer.append(shown, shown + 1L, field, strain);
            } catch (IOException | RuntimeException e) {
                writer.abort();
                throw e;
            }
        }
    }
}
