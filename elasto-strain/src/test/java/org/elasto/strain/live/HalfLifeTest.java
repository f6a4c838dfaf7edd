package org.elasto.strain.live;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.concurrent.TimeUnit;
import org.elasto.api.RfFrame;
import org.elasto.phantoms.Phantom;
import org.junit.jupiter.api.Test;

/** The half-life of the average, changed while a session runs. */
class HalfLifeTest {

    private static LiveSession session(Phantom phantom, int halfLife) {
        return LiveSetup.of(phantom.geometry())
                .displacement(new KnownMotion(phantom))
                .config("half-life=" + halfLife)
                .start();
    }

    @Test
    void fromTheNextFrameOnItIsAsIfItHadAlwaysBeenSo() throws InterruptedException {
        Phantom phantom = KnownMotion.pressed("two-stiff-inclusions", 10, 0.004);
        try (LiveSession changed = session(phantom, 60);
                LiveSession none = session(phantom, 0)) {
            int compared = 0;
            for (int i = 0; i < 10; i++) {
                if (i == 6) {
                    changed.setHalfLife(0);
                }
                float[] averaged = relative(changed, phantom, i);
                float[] single = relative(none, phantom, i);
                if (i >= 6) {
                    assertArrayEquals(single, averaged, "frame " + i);
                    compared++;
                } else if (i >= 2) {
                    assertFalse(Arrays.equals(single, averaged), "frame " + i);
                }
            }
            assertEquals(4, compared);
        }
    }

    private static float[] relative(LiveSession session, Phantom phantom, int index)
            throws InterruptedException {
        RfFrame frame = phantom.newFrame();
        phantom.read(index, frame);
        session.offer(frame);
        assertTrue(session.awaitIdle(20, TimeUnit.SECONDS));
        try (LiveImage image = session.take()) {
            assertTrue(index == 0 || image.refusal() == null, "frame " + index);
            return image.relative().clone();
        }
    }

    @Test
    void aWrongHalfLifeIsRefusedWithTheRange() {
        Phantom phantom = KnownMotion.pressed("uniform", 1, 0.004);
        try (LiveSession session =
                LiveSetup.of(phantom.geometry()).displacement(new KnownMotion(phantom)).start()) {
            String message =
                    assertThrows(IllegalArgumentException.class, () -> session.setHalfLife(-1))
                            .getMessage();
            assertTrue(message.contains("half-life") && message.contains("60"), message);
        }
    }
}
