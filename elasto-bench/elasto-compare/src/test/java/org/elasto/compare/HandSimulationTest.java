package org.elasto.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.EnumMap;
import java.util.Map;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.api.config.ConfigSchema;
import org.elasto.phantoms.LostContact;
import org.elasto.phantoms.Phantom;
import org.elasto.phantoms.PhantomConfig;
import org.elasto.phantoms.Phantoms;
import org.elasto.phantoms.motion.HandMotion;
import org.elasto.strain.live.Advice;
import org.elasto.strain.live.LiveConfig;
import org.elasto.strain.live.LiveCounters;
import org.elasto.strain.live.LiveImage;
import org.elasto.strain.live.LiveSetup;
import org.elasto.strain.live.LiveSteps;
import org.elasto.strain.live.Refusal;
import org.junit.jupiter.api.Test;

/**
 * A minute at 50 frames a second with a hand that presses, lifts, holds still, slides, tilts to
 * other slices, and frames of NaN in between. What the session advises is compared with what was
 * simulated, frame by frame.
 */
class HandSimulationTest {

    private static final int RATE = 50;
    private static final int FRAMES = 60 * RATE;
    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(24, 1000, 40e6, 7.5e6, 1540, 0, 0.3e-3, RATE);
    private static final LiveConfig CONFIG = LiveConfig.DEFAULTS;

    private final double[] press = new double[FRAMES];
    private final double[] drift = new double[FRAMES];
    private final double[] slice = new double[FRAMES];
    private final boolean[] lifted = new boolean[FRAMES];
    private final boolean[] broken = new boolean[FRAMES];

    private static int at(double seconds) {
        return (int) Math.round(seconds * RATE);
    }

    private Phantom simulate(Workers workers) {
        HandMotion hand = new HandMotion(1.2, 0.03, 0.2, 0.05e-3, 7);
        double clock = 0;
        for (int i = 1; i < FRAMES; i++) {
            boolean still = i >= at(18) && i < at(23) || i >= at(49) && i < at(52);
            clock += still ? 0 : 1.0 / RATE;
            press[i] = hand.strainAt(clock);
            boolean sliding = i >= at(29) && i < at(29.8) || i >= at(54) && i < at(54.4);
            drift[i] = drift[i - 1] + (sliding ? 0.25e-3 : 0);
            boolean tilting = i >= at(38) && i < at(39.2);
            slice[i] = slice[i - 1] + (tilting ? 2.5 : 0);
            broken[i] = i % 37 == 0 || i >= at(34) && i < at(34.1);
        }
        double[] sways = hand.sways(FRAMES, RATE);
        double[] sideways = new double[FRAMES];
        for (int i = 0; i < FRAMES; i++) {
            sideways[i] = drift[i] + sways[i];
        }
        PhantomConfig config =
                ConfigSchema.of(PhantomConfig.class)
                        .parse(PhantomConfig.DEFAULTS, "frames=" + FRAMES);
        Phantom.Builder builder =
                Phantoms.builder("two-stiff-inclusions", config)
                        .geometry(GEOMETRY)
                        .press(press)
                        .drift(sideways)
                        .sliceDrift(slice)
                        .workers(workers);
        for (double[] gap : new double[][] {{8, 10}, {25, 25.2}, {43, 46}}) {
            builder.lostContact(LostContact.allLines(at(gap[0]), at(gap[1]) - 1));
            Arrays.fill(lifted, at(gap[0]), at(gap[1]), true);
        }
        return builder.build();
    }

    /** What ought to be advised, from the simulation alone. */
    private Advice[] truth() {
        Advice[] advice = new Advice[FRAMES];
        int chain = -1;
        int last = -1;
        Advice before = Advice.STARTING;
        int[] good = new int[FRAMES];
        int count = 0;
        for (int i = 0; i < FRAMES; i++) {
            Advice now;
            if (broken[i]) {
                now = before;
            } else if (lifted[i]) {
                now = Advice.NO_CONTACT;
                last = -1;
            } else {
                good[count++] = i;
                if (last < 0) {
                    now = Advice.STARTING;
                    chain = i;
                } else if (slice[i] - slice[last] > 1) {
                    now = Advice.TOO_FAST;
                    chain = i;
                } else if ((drift[i] - drift[last]) * RATE / (i - last) > CONFIG.mostSpeed()) {
                    now = Advice.SLIDING_SIDEWAYS;
                } else {
                    double most = 0;
                    for (int k = Math.max(0, count - CONFIG.heldFrames()); k < count; k++) {
                        if (good[k] >= chain && drift[i] - drift[good[k]] < 0.45e-3) {
                            most = Math.max(most, Math.abs(press[i] - press[good[k]]));
                        }
                    }
                    now = most >= CONFIG.leastStrain() ? Advice.GOOD : Advice.TOO_STILL;
                }
                last = i;
            }
            advice[i] = now;
            before = now;
        }
        return advice;
    }

    @Test
    void aMinuteOfAHandIsAdvisedRightly() {
        try (Workers workers = Workers.threads(2)) {
            Phantom phantom = simulate(workers);
            Advice[] truth = truth();
            LiveSteps steps =
                    LiveSetup.of(GEOMETRY)
                            .sampleType(SampleType.FLOAT32)
                            .config(CONFIG)
                            .workers(workers)
                            .withoutPictures()
                            .steps();
            float[] nan = new float[GEOMETRY.lines() * GEOMETRY.samples()];
            Arrays.fill(nan, Float.NaN);
            RfFrame bad = RfFrame.of(GEOMETRY, nan);
            RfFrame frame = phantom.newFrame();
            Map<Advice, int[]> tally = new EnumMap<>(Advice.class);
            for (Advice each : Advice.values()) {
                tally.put(each, new int[2]);
            }
            int agreed = 0;
            long contactSince = 0;
            int shown = 0;
            for (int i = 0; i < FRAMES; i++) {
                phantom.read(i, frame);
                bad.stamp(frame.index(), frame.timeNanos());
                LiveImage image = steps.step(broken[i] ? bad : frame);
                boolean right = image.advice() == truth[i];
                agreed += right ? 1 : 0;
                tally.get(truth[i])[right ? 0 : 1]++;
                if (broken[i]) {
                    assertEquals(Refusal.BAD_SAMPLES, image.refusal(), "frame " + i);
                    continue;
                }
                if (lifted[i]) {
                    contactSince = image.timeNanos();
                    assertEquals(0, trusted(image), "lifted at frame " + i);
                } else if (image.advice() == Advice.GOOD) {
                    shown++;
                    assertNotEquals(Long.MIN_VALUE, image.newestPairNanos(), "frame " + i);
                    double age = (image.timeNanos() - image.newestPairNanos()) * 1e-9;
                    assertTrue(age <= 0.5, "frame " + i + " shows a picture " + age + " s old");
                    assertTrue(image.newestPairNanos() >= contactSince, "frame " + i);
                    assertTrue(trusted(image) > 0.5, "frame " + i + ": " + trusted(image));
                }
            }
            StringBuilder seen = new StringBuilder("advice right");
            tally.forEach(
                    (advice, n) ->
                            seen.append(", ")
                                    .append(advice)
                                    .append(' ')
                                    .append(n[0])
                                    .append(" of ")
                                    .append(n[0] + n[1]));
            System.out.println(seen + "; " + steps.counters());
            assertTrue(agreed >= 0.95 * FRAMES, seen.toString());
            tally.forEach((advice, n) -> assertTrue(n[0] > 0.8 * n[1], seen.toString()));
            assertTrue(shown > 1500, "pictures shown: " + shown);
            LiveCounters counters = steps.counters();
            assertEquals(FRAMES, counters.framesIn());
            assertEquals(FRAMES, counters.compared() + counters.refusedInAll());
            assertEquals(0, counters.failures());
        }
    }

    private static double trusted(LiveImage image) {
        int count = 0;
        for (boolean each : image.trusted()) {
            count += each ? 1 : 0;
        }
        return (double) count / image.trusted().length;
    }
}
