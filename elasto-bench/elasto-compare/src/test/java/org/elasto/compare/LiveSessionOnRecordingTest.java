package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Locale;
import org.apache.commons.math3.stat.descriptive.SummaryStatistics;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.StrainImage;
import org.elasto.api.StrainLayout;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.FrameSource;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.strain.live.LiveImage;
import org.elasto.strain.live.LiveSetup;
import org.elasto.strain.live.LiveSteps;
import org.junit.jupiter.api.Test;

/**
 * All pairs of a recording whose motion comes from a finite-element model that no code of ours took
 * part in, through the live session with everything at its default.
 *
 * <p>Inside is within three quarters of an inclusion's radius; beside it are the same depths within
 * half a radius, one and a half to three radii away. Contrast-to-noise of the true field itself, by
 * the same line over 2.4 mm, is about 21 there.
 */
class LiveSessionOnRecordingTest {

    private record Seen(double ratio, double contrastToNoise) {}

    private static Seen measure(
            StrainLayout layout, float[] plane, boolean[] trusted, TrueMotion.Round round) {
        SummaryStatistics inside = new SummaryStatistics();
        SummaryStatistics beside = new SummaryStatistics();
        int rows = layout.grid().rows();
        for (int line = 0; line < layout.geometry().lines(); line++) {
            for (int row = 0; row < rows; row++) {
                int at = line * rows + row;
                double x = layout.geometry().x(line, 0) - round.x();
                double z = layout.grid().depth(row) - round.z();
                double r = round.radius();
                boolean in = Math.hypot(x, z) <= 0.75 * r;
                boolean near = Math.abs(x) >= 1.5 * r && Math.abs(x) <= 3 * r;
                boolean out = near && Math.abs(z) <= 0.5 * r;
                if (trusted[at] && (in || out)) {
                    (in ? inside : beside).addValue(plane[at]);
                }
            }
        }
        assertTrue(inside.getN() > 50 && beside.getN() > 50, "too little is trusted");
        double difference = inside.getMean() - beside.getMean();
        return new Seen(
                inside.getMean() / beside.getMean(),
                Math.sqrt(
                        2
                                * difference
                                * difference
                                / (inside.getVariance() + beside.getVariance())));
    }

    @Test
    void inclusionsStandOutByWhatTheyShouldInEveryPair() throws IOException {
        Path folder = RecordingsTest.folder();
        try (Workers workers = Workers.threads(2);
                FrameSource frames =
                        Sources.open(folder.resolve("phantom-a.h5").toString(), Choice.of(""));
                TrueMotion truth =
                        TrueMotion.of(folder.resolve("phantom-a-truth.h5"), frames.geometry())) {
            LiveSteps steps =
                    LiveSetup.of(frames.geometry())
                            .sampleType(frames.sampleType())
                            .workers(workers)
                            .withoutPictures()
                            .steps();
            int shown = 0;
            Seen large = null;
            for (int i = 0; i < frames.frameCount(); i++) {
                RfFrame frame = frames.read(i);
                LiveImage image = steps.step(frame);
                if (image.refusal() != null) {
                    continue;
                }
                shown++;
                StrainImage trueStrain = trueStrain(truth, image, i);
                for (TrueMotion.Round round : truth.inclusions()) {
                    boolean wide = round.radius() > 3e-3;
                    Seen expected =
                            measure(
                                    image.layout(),
                                    trueStrain.axial(),
                                    trueStrain.trusted(),
                                    round);
                    Seen pair =
                            measure(
                                    image.layout(),
                                    image.pairRelative(),
                                    image.pairTrusted(),
                                    round);
                    Seen averaged =
                            measure(image.layout(), image.relative(), image.trusted(), round);
                    String seen =
                            String.format(
                                    Locale.ROOT,
                                    "frame %d, %.0f mm: pair %.4f, averaged %.4f, true %.4f;"
                                            + " contrast-to-noise %.1f, %.1f, %.1f",
                                    i,
                                    round.radius() * 2e3,
                                    pair.ratio,
                                    averaged.ratio,
                                    expected.ratio,
                                    pair.contrastToNoise,
                                    averaged.contrastToNoise,
                                    expected.contrastToNoise);
                    System.out.println(seen);
                    double limit = wide ? 0.05 : 0.10;
                    assertEquals(expected.ratio, pair.ratio, limit * expected.ratio, seen);
                    assertEquals(expected.ratio, averaged.ratio, limit * expected.ratio, seen);
                    if (wide) {
                        assertEquals(21, expected.contrastToNoise, 3, seen);
                        assertTrue(pair.contrastToNoise >= 13, seen);
                        large = averaged;
                    }
                }
            }
            assertEquals(frames.frameCount() - 1, shown, "all but the first frame are compared");
            assertTrue(large.contrastToNoise >= 17, "after averaging: " + large);
        }
    }

    private static StrainImage trueStrain(TrueMotion truth, LiveImage image, int frame)
            throws IOException {
        StrainEstimator line =
                Catalogue.create(
                        Catalogue.strainEstimators().get("least-squares-line"),
                        "window-depth=2.4e-3",
                        image.fieldLayout(),
                        Workers.sequential());
        DisplacementField field = new DisplacementField(image.fieldLayout());
        // Truth stands in the places of the earlier frame; of the last pair, its own.
        int from = Math.min(frame, 6);
        Comparison.fill(field, truth.axial(from, from + 1, image.fieldLayout().grid()));
        StrainImage strain = line.newImage();
        line.estimate(field, strain);
        return strain;
    }
}
