package org.elasto.strain.live;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.phantoms.Bone;
import org.elasto.phantoms.LostContact;
import org.elasto.phantoms.Phantom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What the scout sees, against the known motion of phantoms. */
class MotionScoutTest {

    private static MotionScout compare(Phantom phantom) {
        return compare(phantom, Workers.sequential());
    }

    private static MotionScout compare(Phantom phantom, Workers workers) {
        MotionScout scout = new MotionScout(phantom.geometry(), 2, workers);
        scout.take(0, read(phantom, 0));
        scout.take(1, read(phantom, 1));
        scout.compare(0, 1, 0);
        return scout;
    }

    private static RfFrame read(Phantom phantom, int index) {
        RfFrame frame = phantom.newFrame();
        phantom.read(index, frame);
        return frame;
    }

    @ParameterizedTest
    @ValueSource(doubles = {0.0005, 0.002, 0.006, 0.012, 0.025, -0.001, -0.01, -0.025})
    void strainIsFollowedEvenWherePhaseHasTurnedManyTimes(double strain) {
        MotionScout scout =
                compare(
                        KnownMotion.builder("uniform", 2, 0.002)
                                .press(0.05, 0.05 + strain)
                                .build());
        // In terms of the tissue as it is now, already pressed.
        double expected = strain / (1 - 0.05 - strain);
        assertEquals(expected, scout.strain(), 0.02 * Math.abs(strain) + 2e-5);
        assertEquals(1, scout.contactShare());
        assertTrue(scout.sameShare() > 0.9, "recognised: " + scout.sameShare());
    }

    @ParameterizedTest
    @ValueSource(doubles = {-0.3e-3, -0.1e-3, 0, 0.05e-3, 0.15e-3, 0.3e-3, 0.4e-3})
    void sidewaysMotionIsTold(double shift) {
        MotionScout scout = compare(KnownMotion.builder("uniform", 2, 0).drift(0, shift).build());
        assertEquals(shift, scout.sideways(), 0.2 * Math.abs(shift) + 15e-6);
    }

    @Test
    void whereAScanBeginsDeepItsMotionIsFoundAllTheSame() {
        ScanGeometry deep = ScanGeometry.linear(32, 800, 40e6, 10e6, 1540, 34e-3, 0.3e-3, 50);
        int compared = 0;
        for (double strain = -0.02; strain <= 0.0201; strain += 0.0025) {
            MotionScout scout =
                    compare(
                            KnownMotion.builder("uniform", 2, 0)
                                    .geometry(deep)
                                    .press(0.04, 0.04 + strain)
                                    .build());
            double expected = strain / (1 - 0.04 - strain);
            assertEquals(expected, scout.strain(), 0.03 * Math.abs(strain) + 5e-5);
            compared++;
        }
        assertEquals(17, compared);
    }

    @Test
    void noiseAndAirAreNoContact() {
        ScanGeometry geometry = KnownMotion.SMALL;
        Random random = new Random(5);
        float[] noise = new float[geometry.lines() * geometry.samples()];
        MotionScout scout = new MotionScout(geometry, 2, Workers.sequential());
        for (int slot = 0; slot < 2; slot++) {
            for (int i = 0; i < noise.length; i++) {
                noise[i] = (float) (100 * random.nextGaussian());
            }
            scout.take(slot, RfFrame.of(geometry, noise));
            scout.compare(slot, slot, 0);
            assertEquals(0, scout.contactShare(), "noise");
        }
        scout.compare(0, 1, 0);
        assertEquals(0, scout.contactShare(), "noise twice");
        assertTrue(scout.depthReached() < 2e-3, "noise seems to reach " + scout.depthReached());

        Phantom air =
                KnownMotion.builder("uniform", 2, 0.002)
                        .lostContact(LostContact.allLines(0, 1))
                        .build();
        assertEquals(0, compare(air).contactShare(), "air");

        scout.take(0, RfFrame.allocate(geometry, SampleType.INT16));
        scout.compare(0, 0, 0);
        assertEquals(0, scout.contactShare(), "silence");
        assertEquals(0, scout.depthReached(), "silence");
    }

    @Test
    void halfTheFaceAndHowDeep() {
        Phantom half =
                KnownMotion.builder("uniform", 2, 0.002)
                        .lostContact(new LostContact(0, 1, 16, 31))
                        .build();
        assertEquals(0.5, compare(half).contactShare());
        Phantom bone =
                KnownMotion.builder("uniform", 2, 0.002)
                        .bone(new Bone(14e-3, -1, 1, 80e-3, 30e-6, 20))
                        .build();
        assertEquals(14e-3, compare(bone).depthReached(), 2.5e-3);
        assertEquals(1, compare(bone).contactShare());
        // Nothing hides anything: down to the last whole cell.
        Phantom free = KnownMotion.pressed("uniform", 2, 0.002);
        assertEquals(free.geometry().lastDepth(), compare(free).depthReached(), 1e-3);
    }

    @Test
    void flawedSamplesAreCounted() {
        ScanGeometry geometry = KnownMotion.SMALL;
        float[] samples = new float[geometry.lines() * geometry.samples()];
        MotionScout scout = new MotionScout(geometry, 1, Workers.sequential());
        scout.take(0, RfFrame.of(geometry, samples));
        assertEquals(0, scout.flawedShare(0));
        for (int i = 0; i < samples.length; i += 4) {
            samples[i] = i % 8 == 0 ? Float.NaN : Float.NEGATIVE_INFINITY;
        }
        scout.take(0, RfFrame.of(geometry, samples));
        assertEquals(0.25, scout.flawedShare(0), 1e-3);
        scout.compare(0, 0, 0);
        assertEquals(0, scout.contactShare());
    }

    @Test
    void oneLineWorksWithoutNeighbours() {
        ScanGeometry line = ScanGeometry.linear(1, 1300, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);
        MotionScout scout =
                compare(
                        KnownMotion.builder("uniform", 2, 0)
                                .geometry(line)
                                .press(0.02, 0.025)
                                .build());
        assertEquals(0.005, scout.strain(), 4e-4);
        assertEquals(0, scout.sideways());
        assertEquals(1, scout.contactShare());
    }

    @Test
    void workersChangeNothing() {
        Phantom phantom = KnownMotion.pressed("uniform", 2, 0.004);
        MotionScout one = compare(phantom);
        try (Workers five = Workers.threads(5)) {
            MotionScout other = compare(phantom, five);
            assertEquals(one.strain(), other.strain());
            assertEquals(one.sideways(), other.sideways());
            for (int group = 0; group < one.groups(); group++) {
                assertArrayEquals(one.displacement(group), other.displacement(group));
            }
        }
    }
}
