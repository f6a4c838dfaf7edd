package org.elasto.tracking.seedgrowth;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.elasto.api.RfFrame;
import org.elasto.api.SampleType;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;
import org.elasto.phantoms.Phantom;
import org.elasto.tracking.shared.BasebandFrame;
import org.junit.jupiter.api.Test;

/** The local matcher on a phantom pressed by 1 %, whose tissue spreads and drifts sideways. */
class CorrelationMatcherTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(24, 900, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private final Phantom phantom =
            Phantom.builder()
                    .geometry(GEOMETRY)
                    .seed(5)
                    .noise(40, 8e-3)
                    .press(0, 0.01)
                    .drift(0, 90e-6)
                    .build();
    private final BasebandFrame a = frame(0);
    private final BasebandFrame b = frame(1);
    private final CorrelationMatcher matcher =
            new CorrelationMatcher(8, 2, 3, GEOMETRY.wavelength());
    private final LocalMatcher.Match match = new LocalMatcher.Match();

    private BasebandFrame frame(int number) {
        RfFrame rf = RfFrame.allocate(GEOMETRY, SampleType.FLOAT32);
        phantom.read(number, rf);
        BasebandFrame frame = new BasebandFrame(GEOMETRY, 6e6, 4, Workers.sequential());
        frame.load(rf);
        return frame;
    }

    private double[] truth(int line, int sample) {
        double depth = sample * a.spacing;
        double[] u = new double[2];
        phantom.displacement(0, 1, GEOMETRY.x(line, depth), depth, u);
        return u;
    }

    @Test
    void findsDisplacementAndGradientFromAGuessNearBy() {
        double squares = 0;
        double lateralSquares = 0;
        double gradients = 0;
        int count = 0;
        for (int line = 4; line < 20; line += 4) {
            for (int sample = 40; sample < 190; sample += 15) {
                double[] u = truth(line, sample);
                // An eighth of a wavelength and two thirds of a line off.
                match.set((float) (u[1] + 25e-6), 0f, (float) (u[0] / 0.3e-3 - 0.67));
                matcher.match(a, b, line, sample, match);
                squares += Math.pow(match.axial - u[1], 2);
                lateralSquares += Math.pow(match.lateral * 0.3e-3 - u[0], 2);
                gradients += match.gradient / a.spacing;
                assertTrue(match.quality > 0.9, "quality " + match.quality);
                count++;
            }
        }
        assertEquals(40, count);
        String seen =
                Math.sqrt(squares / count) + " m, lateral " + Math.sqrt(lateralSquares / count);
        assertTrue(Math.sqrt(squares / count) < 1.5e-6, seen);
        assertTrue(Math.sqrt(lateralSquares / count) < 20e-6, seen);
        assertEquals(-0.01, gradients / count, 0.001);
    }

    @Test
    void aGuessFarOffMatchesBadly() {
        double[] u = truth(12, 100);
        match.set((float) (u[1] + 800e-6), 0f, (float) (u[0] / 0.3e-3));
        matcher.match(a, b, 12, 100, match);
        assertTrue(match.quality < 0.75, "quality " + match.quality);
    }

    @Test
    void silenceMatchesNothing() {
        BasebandFrame silent = new BasebandFrame(GEOMETRY, 6e6, 4, Workers.sequential());
        match.set(1e-5f, 0f, 0.25f);
        matcher.match(silent, silent, 12, 100, match);
        assertEquals(0f, match.quality);
        assertEquals(1e-5f, match.axial);
        assertEquals(0.25f, match.lateral);
    }
}
