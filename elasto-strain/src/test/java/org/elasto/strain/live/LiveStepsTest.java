package org.elasto.strain.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;
import org.elasto.api.DisplacementField;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.StrainImage;
import org.elasto.api.Workers;
import org.elasto.api.plugin.Catalogue;
import org.elasto.api.plugin.StrainEstimator;
import org.elasto.phantoms.LostContact;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.PhantomConfig;
import org.junit.jupiter.api.Test;

/** The session's decisions, frame by frame, with a tracker that knows the truth. */
class LiveStepsTest {

    private static LiveSetup setup(Phantom phantom) {
        return LiveSetup.of(phantom.geometry())
                .displacement(new KnownMotion(phantom))
                .withoutPictures();
    }

    private static RfFrame read(Phantom phantom, int index) {
        RfFrame frame = phantom.newFrame();
        phantom.read(index, frame);
        return frame;
    }

    private static double trustedShare(LiveImage image) {
        int count = 0;
        for (boolean each : image.trusted()) {
            count += each ? 1 : 0;
        }
        return (double) count / image.trusted().length;
    }

    @Test
    void aSteadyPressIsComparedFromTheSecondFrameOn() {
        Phantom phantom = KnownMotion.pressed("uniform", 12, 0.004);
        LiveSteps steps = setup(phantom).metric("match-correlation", "").steps();
        LiveImage image = steps.step(read(phantom, 0));
        assertEquals(Advice.STARTING, image.advice());
        assertEquals(Refusal.NO_PARTNER, image.refusal());
        assertEquals(-1, image.partnerIndex());
        assertEquals(0, trustedShare(image));
        assertTrue(Double.isNaN(image.scores()[0]));
        for (int i = 1; i < 12; i++) {
            image = steps.step(read(phantom, i));
            assertEquals(Advice.GOOD, image.advice());
            assertNull(image.refusal());
            assertEquals(i, image.frameIndex());
            double expected =
                    Math.abs(phantom.pressAt(i) - phantom.pressAt((int) image.partnerIndex()));
            assertEquals(expected, image.pairStrain(), 0.06 * expected);
            assertTrue(trustedShare(image) > 0.8);
            assertEquals(image.timeNanos(), image.newestPairNanos());
            assertEquals(0.99, image.scores()[0], 0.01);
            assertTrue(image.map(0).length == image.relative().length);
        }
        LiveCounters counters = steps.counters();
        assertEquals(12, counters.framesIn());
        assertEquals(11, counters.compared());
        assertEquals(Map.of(Refusal.NO_PARTNER, 1L), counters.refused());
        assertEquals(0, counters.waiting());
        assertEquals(0, counters.dropped());
        assertTrue(counters.stageNanos().get(Stage.TRACKING) > 0);
    }

    @Test
    void thePartnerIsTheOneSqueezedByAboutTheTarget() {
        double[] press = new double[20];
        for (int i = 0; i < press.length; i++) {
            press[i] = 0.001 * i;
        }
        Phantom phantom = KnownMotion.builder("uniform", 20, 0).press(press).build();
        LiveSteps steps = setup(phantom).config("target-strain=0.005").steps();
        LiveImage image = null;
        for (int i = 0; i < 20; i++) {
            image = steps.step(read(phantom, i));
        }
        assertEquals(14, image.partnerIndex(), 1);

        LiveSteps few = setup(phantom).config("target-strain=0.005,held-frames=4").steps();
        for (int i = 0; i < 20; i++) {
            image = few.step(read(phantom, i));
        }
        assertEquals(16, image.partnerIndex(), "no older one is held than three");
    }

    @Test
    void whatStandsStillIsRefusedAndTheAverageAges() {
        double[] press = new double[80];
        Arrays.fill(press, 10, 80, 0.02);
        for (int i = 0; i < 10; i++) {
            press[i] = 0.002 * i;
        }
        Phantom phantom = KnownMotion.builder("uniform", 80, 0).press(press).build();
        LiveSteps steps = setup(phantom).config("half-life=0.1").steps();
        LiveImage image = null;
        for (int i = 0; i < 80; i++) {
            image = steps.step(read(phantom, i));
            if (i == 40) {
                assertEquals(Advice.TOO_STILL, image.advice());
                assertEquals(Refusal.TOO_STILL, image.refusal());
                assertTrue(trustedShare(image) > 0.8, "still fresh");
            }
        }
        assertEquals(0, trustedShare(image), "1.2 s at a half-life of 0.1 s are too old");
    }

    @Test
    void liftingForgetsAtOnceAndContactBringsBackAnImage() {
        Phantom phantom =
                KnownMotion.builder("uniform", 20, 0.004)
                        .lostContact(LostContact.allLines(8, 10))
                        .build();
        LiveSteps steps =
                setup(phantom).metric("consecutive-agreement", "").metric("contact", "").steps();
        for (int i = 0; i < 20; i++) {
            LiveImage image = steps.step(read(phantom, i));
            boolean lifted = i >= 8 && i <= 10;
            assertEquals(lifted, image.advice() == Advice.NO_CONTACT, "frame " + i);
            if (lifted) {
                assertEquals(Refusal.NO_CONTACT, image.refusal());
                assertEquals(0, image.contactShare());
            }
            if (lifted || i == 11) {
                assertEquals(0, trustedShare(image), "frame " + i);
                assertEquals(Long.MIN_VALUE, image.newestPairNanos());
            }
            if (i > 11) {
                assertTrue(image.partnerIndex() >= 11, "nothing from before the lift");
                assertTrue(trustedShare(image) > 0.8, "frame " + i);
            }
            boolean compared = !lifted && i != 0 && i != 11;
            assertEquals(compared, image.scores()[1] > 0.95, "contact in frame " + i);
            // The first pair, and again the first after the lift, has none before it.
            boolean agreed = compared && i != 1 && i != 12;
            assertEquals(agreed, image.scores()[0] > 0.95, "agreement in frame " + i);
            assertEquals(!agreed, Double.isNaN(image.scores()[0]), "agreement in frame " + i);
        }
    }

    @Test
    void fastMotionAnotherSliceAndSlidingAreTold() {
        double[] press = new double[12];
        for (int i = 0; i < 12; i++) {
            press[i] = i < 6 ? 0.003 * i : 0.015 + (i % 2) * 0.06;
        }
        Phantom fast = KnownMotion.builder("uniform", 12, 0).press(press).build();
        assertEquals(Advice.TOO_FAST, last(fast).advice());

        double[] slice = new double[8];
        slice[7] = 3;
        Phantom other = KnownMotion.builder("uniform", 8, 0.004).sliceDrift(slice).build();
        LiveImage image = last(other);
        assertEquals(Advice.TOO_FAST, image.advice());
        assertEquals(0, trustedShare(image), "another slice has nothing to do with the average");

        double[] drift = new double[8];
        for (int i = 0; i < 8; i++) {
            drift[i] = 0.25e-3 * i;
        }
        Phantom sliding = KnownMotion.builder("uniform", 8, 0.003).drift(drift).build();
        image = last(sliding);
        assertEquals(Advice.SLIDING_SIDEWAYS, image.advice());
        assertEquals(Refusal.SIDEWAYS, image.refusal());
        assertEquals(0.25e-3, image.sidewaysSinceLast(), 0.05e-3);
    }

    private static LiveImage last(Phantom phantom) {
        LiveSteps steps = setup(phantom).steps();
        LiveImage image = null;
        for (int i = 0; i < phantom.frameCount(); i++) {
            image = steps.step(read(phantom, i));
        }
        return image;
    }

    @Test
    void badFramesAreRefusedAndTheStreamGoesOn() {
        Phantom phantom = KnownMotion.pressed("uniform", 10, 0.004);
        ScanGeometry geometry = phantom.geometry();
        LiveSteps steps = setup(phantom).sampleType(SampleType.FLOAT32).steps();
        float[] bad = new float[geometry.lines() * geometry.samples()];
        Arrays.fill(bad, Float.NaN);
        int refused = 0;
        for (int i = 0; i < 10; i++) {
            LiveImage image = steps.step(read(phantom, i));
            boolean good = i > 0;
            assertEquals(good, image.refusal() == null, "frame " + i);
            if (i % 3 == 2) {
                RfFrame frame = RfFrame.of(geometry, bad).stamp(i, image.timeNanos() + 1000);
                image = steps.step(frame);
                assertEquals(Refusal.BAD_SAMPLES, image.refusal());
                assertEquals(Advice.GOOD, image.advice(), "advice stays as it was");
                assertTrue(trustedShare(image) > 0.8, "and so does the image");
                refused++;
            }
        }
        assertEquals(3, refused);
        RfFrame wide = RfFrame.allocate(PhantomConfigGeometry.WIDE, SampleType.INT16);
        String message =
                assertThrows(IllegalArgumentException.class, () -> steps.step(wide)).getMessage();
        assertTrue(message.contains("geometry"), message);
        LiveCounters counters = steps.counters();
        assertEquals(3, counters.refused().get(Refusal.BAD_SAMPLES));
        assertEquals(1, counters.refused().get(Refusal.WRONG_SHAPE));
        assertEquals(
                counters.framesIn(),
                counters.compared() + counters.refusedInAll() + counters.dropped());

        LiveSteps integers = setup(phantom).steps();
        RfFrame floats = RfFrame.allocate(geometry, SampleType.FLOAT32);
        message =
                assertThrows(IllegalArgumentException.class, () -> integers.step(floats))
                        .getMessage();
        assertTrue(message.contains("INT16") && message.contains("FLOAT32"), message);
    }

    /** A geometry that is not the session's. */
    private static final class PhantomConfigGeometry {
        static final ScanGeometry WIDE =
                ScanGeometry.linear(33, 1300, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
    }

    @Test
    void aThrowingTrackerCostsItsFrameAndIsNamed() {
        Phantom phantom = KnownMotion.pressed("uniform", 10, 0.004);
        List<LiveFailure> failures = new ArrayList<>();
        LiveSteps steps =
                LiveSetup.of(phantom.geometry())
                        .displacement(BadPlugins.throwing(new KnownMotion(phantom), 5))
                        .withoutPictures()
                        .listener(
                                new LiveListener() {
                                    @Override
                                    public void failed(LiveFailure failure) {
                                        failures.add(failure);
                                        throw new IllegalStateException("and the listener too");
                                    }
                                })
                        .steps();
        for (int i = 0; i < 10; i++) {
            LiveImage image = steps.step(read(phantom, i));
            Refusal expected = i == 0 ? Refusal.NO_PARTNER : i == 5 ? Refusal.FAILED : null;
            assertEquals(expected, image.refusal(), "frame " + i);
            assertEquals(i > 0, trustedShare(image) > 0.8, "the average outlives it");
        }
        assertEquals(1, failures.size());
        LiveFailure failure = failures.get(0);
        assertEquals(Stage.TRACKING, failure.stage());
        assertEquals(5, failure.frameIndex());
        assertTrue(failure.plugin().contains("Tracker"), failure.plugin());
        assertEquals("frame 5 is bad luck", failure.cause().getMessage());
        assertEquals(2, steps.counters().failures(), "the plugin's and the listener's");
    }

    @Test
    void aLyingTrackerIsFoundOut() {
        assertLie("correlation", field -> field.correlation()[77] = 1.5f);
        assertLie("correlation", field -> field.correlation()[77] = Float.NaN);
        assertLie("finite", field -> field.axial()[77] = Float.NaN);
        assertLie("finite", field -> field.axial()[77] = Float.POSITIVE_INFINITY);
        assertLie("deviation", field -> field.axialDeviation()[77] = -1e-6f);
        assertLie("deviation", field -> field.axialDeviation()[77] = Float.NaN);
    }

    private static void assertLie(String word, Consumer<DisplacementField> lie) {
        Phantom phantom = KnownMotion.pressed("uniform", 3, 0.004);
        List<LiveFailure> failures = new ArrayList<>();
        LiveSteps steps =
                LiveSetup.of(phantom.geometry())
                        .displacement(BadPlugins.lying(new KnownMotion(phantom), lie))
                        .withoutPictures()
                        .listener(collect(failures))
                        .steps();
        steps.step(read(phantom, 0));
        LiveImage image = steps.step(read(phantom, 1));
        assertEquals(Refusal.FAILED, image.refusal());
        assertEquals(0, trustedShare(image));
        assertEquals(1, failures.size());
        String message = failures.get(0).cause().getMessage();
        assertTrue(message.contains(word) && message.contains("77"), message);
    }

    private static LiveListener collect(List<LiveFailure> failures) {
        return new LiveListener() {
            @Override
            public void failed(LiveFailure failure) {
                failures.add(failure);
            }
        };
    }

    @Test
    void aLyingStrainEstimatorIsFoundOut() {
        Phantom phantom = KnownMotion.pressed("uniform", 3, 0.004);
        KnownMotion tracker = new KnownMotion(phantom);
        StrainEstimator line =
                Catalogue.create(
                        Catalogue.strainEstimators().get("least-squares-line"),
                        "",
                        tracker.layout(),
                        Workers.sequential());
        List<Consumer<StrainImage>> lies =
                List.of(
                        strain -> strain.axial()[500] = Float.NaN,
                        strain -> strain.axialDeviation()[500] = Float.POSITIVE_INFINITY,
                        strain -> strain.axialDeviation()[500] = -1);
        for (Consumer<StrainImage> lie : lies) {
            List<LiveFailure> failures = new ArrayList<>();
            LiveSteps steps =
                    LiveSetup.of(phantom.geometry())
                            .displacement(tracker)
                            .strain(
                                    new BadPlugins.Differentiator(
                                            line,
                                            lie.andThen(strain -> strain.trusted()[500] = true)))
                            .withoutPictures()
                            .listener(collect(failures))
                            .steps();
            steps.step(read(phantom, 0));
            assertEquals(Refusal.FAILED, steps.step(read(phantom, 1)).refusal());
            assertEquals(Stage.DIFFERENTIATING, failures.get(0).stage());
        }
    }

    @Test
    void aMetricThatFailsCostsItsScoreAlone() {
        Phantom phantom = KnownMotion.pressed("uniform", 3, 0.004);
        List<LiveFailure> failures = new ArrayList<>();
        LiveSteps steps =
                setup(phantom)
                        .metric("sound", BadPlugins.metric(() -> 0.25))
                        .metric("too much", BadPlugins.metric(() -> 1.25))
                        .metric(
                                "throws",
                                BadPlugins.metric(
                                        () -> {
                                            throw new IllegalStateException("no score today");
                                        }))
                        .metric("none", BadPlugins.metric(() -> Double.NaN))
                        .listener(collect(failures))
                        .steps();
        steps.step(read(phantom, 0));
        LiveImage image = steps.step(read(phantom, 1));
        assertNull(image.refusal());
        assertEquals(0.25, image.scores()[0]);
        for (int i = 1; i < 4; i++) {
            assertTrue(Double.isNaN(image.scores()[i]));
        }
        assertEquals(
                List.of("too much", "throws"), failures.stream().map(LiveFailure::plugin).toList());
    }

    @Test
    void aMetricThatIsHandedInMayUseTheSessionsWorkers() {
        Phantom phantom = KnownMotion.pressed("uniform", 3, 0.004);
        List<LiveFailure> failures = new ArrayList<>();
        try (Workers workers = Workers.threads(2)) {
            AtomicInteger done = new AtomicInteger();
            LiveSteps steps =
                    setup(phantom)
                            .workers(workers)
                            .metric("match-correlation", "")
                            .metric(
                                    "own",
                                    BadPlugins.metric(
                                            () -> {
                                                workers.run(9, (t, w) -> done.incrementAndGet());
                                                return 0.5;
                                            }))
                            .listener(collect(failures))
                            .steps();
            steps.step(read(phantom, 0));
            LiveImage image = steps.step(read(phantom, 1));
            assertEquals(0.99, image.scores()[0], 0.01);
            assertEquals(0.5, image.scores()[1]);
            assertEquals(9, done.get());
        }
        assertEquals(List.of(), failures);
    }

    @Test
    void setupsAreCheckedAndUsedOnce() {
        ScanGeometry geometry = KnownMotion.SMALL;
        Phantom other =
                KnownMotion.builder("uniform", 2, 0).geometry(PhantomConfigGeometry.WIDE).build();
        String message =
                assertThrows(
                                IllegalArgumentException.class,
                                () ->
                                        LiveSetup.of(geometry)
                                                .displacement(new KnownMotion(other))
                                                .steps())
                        .getMessage();
        assertTrue(message.contains("33") && message.contains("32"), message);
        message =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> LiveSetup.of(geometry).metric("no-such", ""))
                        .getMessage();
        assertTrue(message.contains("match-correlation"), message);
        message =
                assertThrows(
                                IllegalArgumentException.class,
                                () -> LiveSetup.of(geometry).config("half-life=-1"))
                        .getMessage();
        assertTrue(message.contains("half-life") && message.contains("60"), message);
        message =
                assertThrows(
                                IllegalArgumentException.class,
                                () ->
                                        LiveSetup.of(geometry)
                                                .config("target-strain=1e-3,least-strain=2e-3"))
                        .getMessage();
        assertTrue(message.contains("least-strain"), message);
        Phantom phantom = KnownMotion.pressed("uniform", 2, 0.004);
        LiveSetup setup = setup(phantom);
        setup.steps();
        assertThrows(IllegalStateException.class, setup::steps);
    }

    @Test
    void picturesCarryAdviceAndAFixedScale() {
        Phantom phantom = KnownMotion.pressed("two-stiff-inclusions", 4, 0.004);
        LiveSteps steps =
                LiveSetup.of(phantom.geometry()).displacement(new KnownMotion(phantom)).steps();
        int[] before = steps.step(read(phantom, 0)).picture().argb().clone();
        int[] after = steps.step(read(phantom, 1)).picture().argb();
        assertFalse(Arrays.equals(before, after));
        assertEquals(0xff, after[0] >>> 24, "opaque");
    }

    @Test
    void framesWithoutTimeStampsAreTimedByTheirIndices() {
        assertEquals(50, PhantomConfig.DEFAULTS.frameRate());
        Phantom phantom = KnownMotion.pressed("uniform", 6, 0.004);
        LiveSteps steps = setup(phantom).config("half-life=0.02").steps();
        LiveImage image = null;
        for (int i = 0; i < 6; i++) {
            image = steps.step(read(phantom, i).stamp(i, 0));
        }
        // Pair precisions 1/s^2 halve from frame to frame; the sum is less than two of them.
        int at = 16 * image.layout().grid().rows() + 60;
        double single = image.pairDeviation()[at];
        assertEquals(
                Math.max(single, 0.02) / Math.sqrt(1.97), image.deviation()[at], 0.15 * single);
    }
}
