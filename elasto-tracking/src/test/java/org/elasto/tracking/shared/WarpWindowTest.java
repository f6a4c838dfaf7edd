package org.elasto.tracking.shared;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.FloatRange;
import net.jqwik.api.constraints.IntRange;
import org.elasto.api.RfFrame;
import org.elasto.api.ScanGeometry;
import org.elasto.api.Workers;

/** The warp of a small window against that of whole lines. */
class WarpWindowTest {

    private static final ScanGeometry GEOMETRY =
            ScanGeometry.linear(9, 400, 40e6, 7.5e6, 1540, 0, 0.3e-3, 50);

    private static BasebandFrame noise() {
        Random random = new Random(1);
        float[] samples = new float[9 * 400];
        for (int i = 0; i < samples.length; i++) {
            samples[i] = (float) random.nextGaussian();
        }
        BasebandFrame frame = new BasebandFrame(GEOMETRY, 6e6, 4, Workers.sequential());
        frame.load(RfFrame.of(GEOMETRY, samples));
        return frame;
    }

    private final BasebandFrame frame = noise();

    @Property(tries = 60, seed = "3")
    void readsWhatTheWarpOfLinesReads(
            @ForAll @FloatRange(min = -2000, max = 2000) float micrometres,
            @ForAll @FloatRange(min = -0.15f, max = 0.15f) float gradient,
            @ForAll @FloatRange(min = -4, max = 4) float v,
            @ForAll @IntRange(min = 0, max = 6) int firstLine,
            @ForAll @IntRange(min = 0, max = 83) int firstSample) {
        float u = micrometres * 1e-6f;
        int lines = 3;
        int samples = 17;
        float perSample = gradient * (float) frame.spacing;
        float[] re = new float[lines * samples];
        float[] im = new float[lines * samples];
        float[] between = new float[4 * samples + 40];
        double wavelength = GEOMETRY.wavelength();
        FractionalShift.warpWindow(
                frame,
                firstLine,
                lines,
                firstSample,
                samples,
                u,
                perSample,
                v,
                wavelength,
                between,
                re,
                im);

        float[] denseU = new float[9 * frame.length];
        float[] denseV = new float[9 * frame.length];
        float[] denseRe = new float[9 * frame.length];
        float[] denseIm = new float[9 * frame.length];
        for (int i = 0; i < denseU.length; i++) {
            denseU[i] = u + (i % frame.length - firstSample) * perSample;
            denseV[i] = v;
        }
        for (int line = firstLine; line < firstLine + lines; line++) {
            int at = line * frame.length;
            FractionalShift.warp(frame, line, denseU, denseV, wavelength, denseRe, denseIm, at);
            for (int k = 0; k < samples; k++) {
                int to = (line - firstLine) * samples + k;
                // Positions are rounded to 1/512 of a sample, which may fall either way.
                assertEquals(denseRe[at + firstSample + k], re[to], 0.02);
                assertEquals(denseIm[at + firstSample + k], im[to], 0.02);
            }
        }
    }
}
