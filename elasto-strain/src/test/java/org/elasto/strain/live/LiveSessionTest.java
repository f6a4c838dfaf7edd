package org.elasto.strain.live;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.Workers;
import org.elasto.phantoms.Phantom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** The session with its thread. */
@Timeout(60)
class LiveSessionTest {

    private static RfFrame read(Phantom phantom, int index) {
        RfFrame frame = phantom.newFrame();
        phantom.read(index, frame);
        return frame;
    }

    private static LiveSetup setup(Phantom phantom) {
        return LiveSetup.of(phantom.geometry()).displacement(new KnownMotion(phantom));
    }

    @Test
    void theThreadGivesTheSameBitsAsTheSteps() throws InterruptedException {
        Phantom phantom = KnownMotion.pressed("two-stiff-inclusions", 20, 0.004);
        LiveSteps steps = setup(phantom).metric("match-correlation", "").steps();
        try (Workers workers = Workers.threads(3);
                LiveSession session =
                        setup(phantom).metric("match-correlation", "").workers(workers).start()) {
            int compared = 0;
            for (int i = 0; i < 20; i++) {
                RfFrame frame = read(phantom, i);
                LiveImage expected = steps.step(frame);
                assertTrue(session.offer(frame));
                assertTrue(session.awaitIdle(20, TimeUnit.SECONDS));
                try (LiveImage image = session.take()) {
                    assertNotNull(image, "frame " + i);
                    assertEquals(i, image.frameIndex());
                    assertEquals(expected.advice(), image.advice());
                    assertEquals(expected.refusal(), image.refusal());
                    assertEquals(expected.partnerIndex(), image.partnerIndex());
                    assertArrayEquals(expected.relative(), image.relative());
                    assertArrayEquals(expected.deviation(), image.deviation());
                    assertArrayEquals(expected.trusted(), image.trusted());
                    assertArrayEquals(expected.pairRelative(), image.pairRelative());
                    assertArrayEquals(expected.strain().axial(), image.strain().axial());
                    assertArrayEquals(expected.scores(), image.scores());
                    assertArrayEquals(expected.map(0), image.map(0));
                    assertArrayEquals(expected.picture().argb(), image.picture().argb());
                    assertTrue(image.latencyNanos() > 0);
                    compared += image.refusal() == null ? 1 : 0;
                }
                assertNull(session.take(), "an image is taken once");
            }
            assertEquals(19, compared);
            assertEquals(20, session.counters().taken());
        }
    }

    @Test
    void aSlowTrackerNeverBlocksWhoHandsOver() throws InterruptedException {
        Phantom phantom = KnownMotion.pressed("uniform", 8, 0.004);
        CountDownLatch begun = new CountDownLatch(1);
        CountDownLatch go = new CountDownLatch(1);
        try (LiveSession session =
                LiveSetup.of(phantom.geometry())
                        .displacement(BadPlugins.slow(new KnownMotion(phantom), begun, go))
                        .config("waiting-frames=3")
                        .withoutPictures()
                        .start()) {
            session.offer(read(phantom, 0));
            session.awaitIdle(20, TimeUnit.SECONDS);
            session.offer(read(phantom, 1));
            begun.await();
            // The tracker stands still. Were handing over to wait for it, this would never end.
            RfFrame frame = read(phantom, 2);
            for (int i = 2; i < 102; i++) {
                assertTrue(session.offer(frame.stamp(i % 6 + 2, i * 20_000_000L)));
            }
            LiveCounters counters = session.counters();
            assertEquals(102, counters.framesIn());
            assertEquals(97, counters.dropped(), "all but the three that wait");
            assertEquals(4, counters.waiting());
            go.countDown();
            assertTrue(session.awaitIdle(20, TimeUnit.SECONDS));
            counters = session.counters();
            assertEquals(0, counters.waiting());
            assertEquals(102, counters.dropped() + counters.compared() + counters.refusedInAll());
        }
    }

    @Test
    void aPluginThatThrowsAndAListenerThatThrowsDoNotEndIt() throws InterruptedException {
        Phantom phantom = KnownMotion.pressed("uniform", 10, 0.004);
        List<LiveFailure> failures = new CopyOnWriteArrayList<>();
        try (LiveSession session =
                LiveSetup.of(phantom.geometry())
                        .displacement(BadPlugins.throwing(new KnownMotion(phantom), 4))
                        .withoutPictures()
                        .listener(
                                new LiveListener() {
                                    @Override
                                    public void imageReady(long frameIndex) {
                                        throw new IllegalStateException(
                                                "listener of " + frameIndex);
                                    }

                                    @Override
                                    public void failed(LiveFailure failure) {
                                        failures.add(failure);
                                    }
                                })
                        .start()) {
            for (int i = 0; i < 10; i++) {
                session.offer(read(phantom, i));
                assertTrue(session.awaitIdle(20, TimeUnit.SECONDS));
            }
            LiveCounters counters = session.counters();
            assertEquals(8, counters.compared());
            assertEquals(1, counters.refused().get(Refusal.FAILED));
            assertEquals(11, counters.failures(), "ten of the listener, one of the tracker");
            assertEquals(1, failures.size());
            assertNull(session.end());
        }
    }

    @Test
    void anErrorThatIsNobodysEndsItAndSaysSo() throws InterruptedException {
        Phantom phantom = KnownMotion.pressed("uniform", 3, 0.004);
        try (LiveSession session =
                LiveSetup.of(phantom.geometry())
                        .displacement(
                                new BadPlugins.Tracker(
                                        new KnownMotion(phantom),
                                        frame -> {
                                            throw new OutOfMemoryError("made up for a test");
                                        },
                                        out -> {}))
                        .withoutPictures()
                        .start()) {
            Thread.UncaughtExceptionHandler old = Thread.getDefaultUncaughtExceptionHandler();
            Thread.setDefaultUncaughtExceptionHandler((thread, e) -> {});
            try {
                session.offer(read(phantom, 0));
                session.awaitIdle(20, TimeUnit.SECONDS);
                session.offer(read(phantom, 1));
                while (session.end() == null) {
                    Thread.sleep(1);
                }
            } finally {
                Thread.setDefaultUncaughtExceptionHandler(old);
            }
            assertEquals("made up for a test", session.end().getMessage());
            assertFalse(session.offer(read(phantom, 2)));
        }
    }

    @Test
    void imagesThatAreKeptAreNotOverwritten() throws InterruptedException {
        Phantom phantom = KnownMotion.pressed("uniform", 16, 0.004);
        try (LiveSession session = setup(phantom).withoutPictures().start()) {
            List<LiveImage> kept = new ArrayList<>();
            for (int i = 0; i < 10; i++) {
                session.offer(read(phantom, i));
                assertTrue(session.awaitIdle(20, TimeUnit.SECONDS));
                LiveImage image = session.take();
                if (image != null) {
                    kept.add(image);
                }
            }
            assertEquals(4, kept.size(), "as many as there are");
            for (int i = 0; i < 4; i++) {
                assertEquals(i, kept.get(i).frameIndex());
            }
            kept.get(2).close();
            kept.get(2).close();
            session.offer(read(phantom, 10));
            assertTrue(session.awaitIdle(20, TimeUnit.SECONDS));
            LiveImage next = session.take();
            assertEquals(10, next.frameIndex());
            next.close();
            assertEquals(10, session.counters().compared(), "work goes on in any case");
        }
    }

    @Test
    void framesOfAnotherShapeAreRefusedWithoutAnException() throws InterruptedException {
        Phantom phantom = KnownMotion.pressed("uniform", 2, 0.004);
        LiveSession session = setup(phantom).withoutPictures().start();
        assertFalse(session.offer(RfFrame.allocate(phantom.geometry(), SampleType.FLOAT32)));
        assertEquals(1, session.counters().refused().get(Refusal.WRONG_SHAPE));
        session.close();
        assertFalse(session.offer(read(phantom, 0)), "closed");
        assertEquals(1, session.counters().framesIn());
        session.close();
    }

    @Test
    void closingDropsWhatWaitsAndAccountsForIt() throws InterruptedException {
        Phantom phantom = KnownMotion.pressed("uniform", 6, 0.004);
        CountDownLatch begun = new CountDownLatch(1);
        CountDownLatch go = new CountDownLatch(1);
        LiveSession session =
                LiveSetup.of(phantom.geometry())
                        .displacement(BadPlugins.slow(new KnownMotion(phantom), begun, go))
                        .withoutPictures()
                        .start();
        session.offer(read(phantom, 0));
        session.awaitIdle(20, TimeUnit.SECONDS);
        for (int i = 1; i < 4; i++) {
            session.offer(read(phantom, i));
        }
        begun.await();
        Thread closer = new Thread(session::close);
        closer.start();
        while (session.offer(read(phantom, 4))) {
            Thread.onSpinWait();
        }
        go.countDown();
        closer.join();
        LiveCounters counters = session.counters();
        assertEquals(0, counters.waiting());
        assertEquals(
                counters.framesIn(),
                counters.dropped() + counters.compared() + counters.refusedInAll());
    }
}
