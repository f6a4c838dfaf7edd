package org.elasto.compare;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Map;
import me.tongfei.progressbar.ProgressBar;
import me.tongfei.progressbar.ProgressBarBuilder;
import me.tongfei.progressbar.ProgressBarStyle;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.DisplacementEstimator;
import org.elasto.api.plugin.DisplacementEstimatorProvider;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.api.plugin.StrainEstimatorProvider;
import org.elasto.recordings.ResultsHeader;
import org.elasto.recordings.ResultsWriter;
import org.elasto.strain.picture.Picture;
import org.elasto.strain.picture.PictureConfig;
import org.elasto.strain.picture.PngWriter;
import org.elasto.strain.picture.StrainPicture;

/** Every pair of neighbouring frames of one source: tracked, differentiated, drawn, measured. */
final class PictureJob {

    /** Name of the results file. */
    static final String RESULTS = "results.h5";

    private final FrameSource frames;
    private final String estimatorName;
    private final Map<String, String> estimatorParameters;
    private final String strainName;
    private final Map<String, String> strainParameters;
    private final DisplacementEstimator estimator;
    private final StrainEstimator strainEstimator;
    private final StrainPicture drawing;
    private final PictureConfig look;
    private final Comparison comparison;
    private double trustedShare;
    private int pictures;

    PictureJob(
            FrameSource frames,
            DisplacementEstimatorProvider<?> estimatorProvider,
            String estimatorText,
            StrainEstimatorProvider<?> strainProvider,
            String strainText,
            TrueMotion truth,
            PictureConfig look,
            Workers workers) {
        this.frames = frames;
        this.look = look;
        estimator = Catalogue.create(estimatorProvider, estimatorText, frames.geometry(), workers);
        strainEstimator = Catalogue.create(strainProvider, strainText, estimator.layout(), workers);
        estimatorName = estimatorProvider.name();
        estimatorParameters = Setting.all(estimatorProvider, estimatorText);
        strainName = strainProvider.name();
        strainParameters = Setting.all(strainProvider, strainText);
        drawing = new StrainPicture(look, strainEstimator.layout(), workers);
        comparison =
                truth == null ? null : new Comparison(truth, strainEstimator, estimator.newField());
    }

    /** What will be done, with all parameters. */
    String describe() {
        return "displacement by "
                + estimatorName
                + " "
                + estimatorParameters
                + "\nstrain by "
                + strainName
                + " "
                + strainParameters;
    }

    /** Does all pairs, with a progress bar on the error stream. */
    void run(Path folder) throws IOException {
        ResultsHeader header =
                new ResultsHeader(
                        Main.Version.text(),
                        frames.name(),
                        estimator.layout(),
                        strainEstimator.layout(),
                        estimatorName,
                        estimatorParameters,
                        strainName,
                        strainParameters);
        try (ResultsWriter results = new ResultsWriter(folder.resolve(RESULTS), header);
                ProgressBar progress =
                        new ProgressBarBuilder()
                                .setTaskName("pairs")
                                .setInitialMax(frames.frameCount() - 1L)
                                .setStyle(ProgressBarStyle.ASCII)
                                .build()) {
            try {
                runPairs(folder, results, progress);
            } catch (IOException | RuntimeException problem) {
                results.abort();
                throw problem;
            }
        }
    }

    private void runPairs(Path folder, ResultsWriter results, ProgressBar progress)
            throws IOException {
        DisplacementField field = estimator.newField();
        StrainImage strain = strainEstimator.newImage();
        RfFrame first = frames.newFrame();
        RfFrame second = frames.newFrame();
        frames.read(0, first);
        for (int k = 1; k < frames.frameCount(); k++) {
            Interruption.check();
            frames.read(k, second);
            estimator.estimate(first, second, field);
            strainEstimator.estimate(field, strain);
            results.append(k - 1, k, field, strain);
            trustedShare += Texts.share(strain.trusted()) / (frames.frameCount() - 1);
            if (comparison != null) {
                comparison.measure(k - 1, k, first, field, strain);
            }
            String title =
                    frames.name()
                            + ", frames "
                            + (k - 1)
                            + " and "
                            + k
                            + "\n"
                            + estimatorName
                            + ", "
                            + strainName;
            Picture picture = drawing.draw(title, first, strain);
            PngWriter.write(
                    folder.resolve(String.format(Locale.ROOT, "pair-%03d-%03d.png", k - 1, k)),
                    picture,
                    look.pixelsPerMillimetre(),
                    Map.of("Title", title.replace('\n', ' ')));
            pictures++;
            progress.step();
            RfFrame free = first;
            first = second;
            second = free;
        }
    }

    /** What was measured: against the truth where there is one. */
    String table() {
        String area =
                String.format(
                        Locale.ROOT,
                        "trusted on average: %.1f %% of the picture%n",
                        trustedShare * 100);
        return comparison == null ? area : comparison.table() + "\n" + area;
    }

    /** What was written. */
    String written() {
        return pictures + " pictures, " + RESULTS;
    }
}
